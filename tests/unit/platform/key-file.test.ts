import { mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { ConfigError } from '../../../src/platform/config.ts'
import { addKey, keepKeyFile, readKeyFile } from '../../../src/platform/key-file.ts'

let folder = ''
beforeEach(async () => {
  folder = await mkdtemp(join(tmpdir(), 'duebell-keys-'))
})
afterEach(() => rm(folder, { recursive: true }))

describe('a file of keys', () => {
  test('is made once, for its owner alone, whoever asks at the same moment', async () => {
    const path = join(folder, 'keys')
    await Promise.all([keepKeyFile(path), keepKeyFile(path), keepKeyFile(path)])
    const [key, ...others] = await readKeyFile(path)

    expect(key).toHaveLength(32)
    expect(others).toEqual([])
    expect((await stat(path)).mode & 0o777).toBe(0o600)
    await keepKeyFile(path)
    expect(await readKeyFile(path)).toEqual([key])
  })

  test('gets a new key before the old ones, which stay', async () => {
    const path = join(folder, 'keys')
    await addKey(path)
    const [old] = await readKeyFile(path)
    await addKey(path)

    const keys = await readKeyFile(path)
    expect(keys).toHaveLength(2)
    expect(keys[1]).toEqual(old)
  })

  test.each([
    ['# nothing yet\n', 'has no key'],
    ['c2hvcnQ=\n', 'line 1 of'],
  ])('is refused when it holds %j, without quoting it', async (text, complaint) => {
    const path = join(folder, 'keys')
    await writeFile(path, text)
    const refused: unknown = await readKeyFile(path).catch((error: unknown) => error)

    expect(refused).toBeInstanceOf(ConfigError)
    expect(String(refused)).toContain(complaint)
    expect(String(refused)).not.toContain((await readFile(path, 'utf8')).trim())
  })

  test('that is missing is said with the command that makes one', async () => {
    await expect(readKeyFile(join(folder, 'none'))).rejects.toThrow('duebell keys new')
  })
})
