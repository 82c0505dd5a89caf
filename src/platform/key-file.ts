import { randomBytes, randomUUID } from 'node:crypto'
import { link, readFile, rename, rm, writeFile } from 'node:fs/promises'
import { ConfigError } from './config.ts'
import { ignoreExisting } from './embedded/home.ts'

const KEY_BYTES = 32
const KEY = /^[A-Za-z0-9+/]{43}=$/

const newKeyLine = (): string => `${randomBytes(KEY_BYTES).toString('base64')}\n`

/**
 * The keys of a file, one a line in base64, the one that seals first; lines that start with # are notes.
 * @throws {ConfigError} when the file cannot be read or a line is no key, never quoting it
 */
export async function readKeyFile(path: string): Promise<[Buffer, ...Buffer[]]> {
  const text = await readIfThere(path)
  if (text === undefined)
    throw new ConfigError([
      `SEALING_KEYS_FILE: there is no file ${path}; make one with: duebell keys new ${path}`,
    ])
  const lines = text.split('\n').map((line) => line.trim())
  const keys = lines.flatMap((line, index) => {
    if (line === '' || line.startsWith('#')) return []
    if (KEY.test(line)) return [Buffer.from(line, 'base64')]
    throw new ConfigError([`SEALING_KEYS_FILE: line ${index + 1} of ${path} is not 32 octets in base64`])
  })
  const [first, ...others] = keys
  if (first === undefined) throw new ConfigError([`SEALING_KEYS_FILE: ${path} has no key`])
  return [first, ...others]
}

/** Makes a file with one new key where there is none; of processes that start at once, the first one's counts. */
export async function keepKeyFile(path: string): Promise<void> {
  const proposed = `${path}.${randomUUID()}`
  await writeFile(proposed, newKeyLine(), { mode: 0o600 })
  await link(proposed, path).catch(ignoreExisting)
  await rm(proposed)
}

/** Puts a new key before those of the file, or makes it; the file is whole at every moment. */
export async function addKey(path: string): Promise<void> {
  const former = (await readIfThere(path)) ?? ''
  const proposed = `${path}.${randomUUID()}`
  await writeFile(proposed, newKeyLine() + former, { mode: 0o600 })
  await rename(proposed, path)
}

async function readIfThere(path: string): Promise<string | undefined> {
  try {
    return await readFile(path, 'utf8')
  } catch (error) {
    const { code = '?' } = error as NodeJS.ErrnoException
    if (code === 'ENOENT') return undefined
    throw new ConfigError([`SEALING_KEYS_FILE: ${path} cannot be read (${code})`])
  }
}
