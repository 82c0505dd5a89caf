import { verifyChain } from '../../src/app/audit/verify-chain.ts'
import { linkChanges } from '../../src/app/audit/link-changes.ts'
import { makeToken } from '../../src/app/tokens.ts'
import { newSecret } from '../../src/platform/ids.ts'
import { runDuebell } from '../support/run-duebell.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'

const service = await runningService('2026-03-03T10:00+03:00')
const { call, database, deps } = service
const tokens = (...words: readonly string[]) =>
  runDuebell(['tokens', ...words], { DATABASE_URL: database.url })

test('duebell tokens shows who holds which token and when it was last used, and ends one at once, on record', async () => {
  const district = await newDistrict(service)
  const wish = { name: 'lost laptop', role: 'manager', districtId: district.id, expiresAt: null } as const
  const { id, secret } = await makeToken(deps, newSecret, wish)
  const read = () => call('GET', `/v1/districts/${district.id}/villages`, { token: secret })
  const lineOf = async () => (await tokens('list')).output.split('\n').find((line) => line.startsWith(id))
  const said = ['lost laptop', 'manager', district.file.district.name]
  expect(await lineOf()).toBe([id, ...said, 'never used', 'does not end'].join('\t'))
  expect((await read()).status).toBe(200)

  expect(await tokens('revoke', id)).toMatchObject({ exitCode: 0, output: 'The token is revoked.\n' })

  expect((await read()).status).toBe(401)
  expect(await lineOf()).toMatch(/\tlast used 2026-03-03T07:00:00\.000Z\trevoked 20\S+Z$/)
  const entry = await database.db.change.findFirstOrThrow({ where: { act: 'revoke-token' } })
  expect(entry).toMatchObject({ subjectKind: 'token', subjectId: id })
  await linkChanges(deps)
  expect((await verifyChain(deps, null)).found).toEqual([])

  const again = await tokens('revoke', id)
  expect(again.exitCode).not.toBe(0)
  expect(again.complaint).toContain('duebell tokens list')
  expect((await tokens('revoke', 'laptop')).complaint).toContain('Write an identifier')
})
