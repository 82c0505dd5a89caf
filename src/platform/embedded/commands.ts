import { execFile } from 'node:child_process'
import { promisify } from 'node:util'

const execute = promisify(execFile)

/** Tells the person who waits what is going on. */
export type Report = (line: string) => void

/** The user a command runs as; empty is the user of this process. */
export interface Identity {
  readonly uid?: number
  readonly gid?: number
}

/** Runs a command to its end and returns what it printed; a failure carries its standard error. */
export async function run(
  command: string,
  parameters: readonly string[],
  options: Identity & { readonly cwd?: string } = {},
): Promise<string> {
  const { stdout } = await execute(command, parameters, options)
  return stdout.trim()
}

/** True when the command ends well; a command that does not exist is a "no" too. */
export async function succeeds(
  command: string,
  parameters: readonly string[],
  identity: Identity = {},
): Promise<boolean> {
  return run(command, parameters, identity).then(
    () => true,
    () => false,
  )
}

/** The path of the first of these programs that is installed. */
export async function findProgram(...names: readonly string[]): Promise<string | undefined> {
  const search = names.map((name) => `command -v ${name}`).join(' || ')
  return run('sh', ['-c', search]).catch(() => undefined)
}

export const isRoot = (): boolean => process.getuid?.() === 0
