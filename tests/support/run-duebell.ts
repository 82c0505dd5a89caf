import { execFile } from 'node:child_process'
import { TEST_KEYS } from './test-vault.ts'

export interface Outcome {
  readonly exitCode: number
  readonly output: string
  readonly complaint: string
}

/** Runs `duebell` the way a person does, in a process of its own. */
export function runDuebell(
  parameters: readonly string[],
  environment: Readonly<Record<string, string>>,
): Promise<Outcome> {
  return new Promise((resolve) => {
    const command = ['--import', 'tsx', 'src/main/duebell.ts', ...parameters]
    const env = { ...process.env, SEALING_KEYS_FILE: TEST_KEYS, ...environment }
    execFile(process.execPath, command, { env }, (error, output, complaint) => {
      resolve({ exitCode: typeof error?.code === 'number' ? error.code : 0, output, complaint })
    })
  })
}
