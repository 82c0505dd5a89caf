import { runDuebell } from '../support/run-duebell.ts'
import { emptyDatabases } from '../support/test-database.ts'

const makeDatabase = emptyDatabases()

const runMigrate = (environment: Readonly<Record<string, string>>) => runDuebell(['migrate'], environment)

describe('duebell migrate', () => {
  test('says what it applied, and then that there is nothing to do', async () => {
    const DATABASE_URL = await makeDatabase()

    const first = await runMigrate({ DATABASE_URL })
    const second = await runMigrate({ DATABASE_URL })

    expect(first).toMatchObject({
      exitCode: 0,
      output: expect.stringMatching(/^(applied \d{14}_\w+\n)+$/) as string,
    })
    expect(second).toMatchObject({ exitCode: 0, output: 'nothing to do\n' })
  })

  test('ends with 2 and every mistake when the environment is wrong', async () => {
    const { exitCode, complaint } = await runMigrate({ DATABASE_URL: 'mysql://x', HTTP_PORT: 'front' })

    expect(exitCode).toBe(2)
    expect(complaint).toMatch(/DATABASE_URL.*\n.*HTTP_PORT/)
  })

  test('ends with 1 and a sentence when the database does not answer', async () => {
    const { exitCode, complaint } = await runMigrate({ DATABASE_URL: 'postgresql://x@127.0.0.1:1/x' })

    expect(exitCode).toBe(1)
    expect(complaint).toMatch(/^The database at 127\.0\.0\.1:1 cannot be reached.*check DATABASE_URL\.\n$/)
  })
})
