import { readKeyFile } from '../../src/platform/key-file.ts'
import { openVault } from '../../src/store/sealing/vault.ts'

/** The file of keys of all tests. */
export const TEST_KEYS = 'tests/fixtures/keys'

export const testVault = openVault(await readKeyFile(TEST_KEYS))
