/** Addresses of the servers of a test run. */
export interface TestServers {
  /** A database to make and drop others from. */
  readonly serverUrl: string
  /** The migrated database that every test file gets a copy of. */
  readonly templateUrl: string
  readonly redisUrl: string
}

/** The servers that tests/support/global-setup.ts started. */
export function testServers(): TestServers {
  const addresses = process.env['DUEBELL_TEST_SERVERS']
  if (addresses === undefined)
    throw new Error('This test needs servers; put it in a folder of the real project.')
  return JSON.parse(addresses) as TestServers // written by hold-servers.ts
}
