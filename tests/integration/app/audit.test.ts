import { linkChanges } from '../../../src/app/audit/link-changes.ts'
import { verifyChain } from '../../../src/app/audit/verify-chain.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, ask, database, deps, empty, tokenFor } = service

beforeEach(async () => {
  await empty()
  await database.pool.query('truncate audit_link')
})

/** A child that was enrolled, seen, corrected and asked about by text. */
async function someHistory() {
  const district = await newDistrict(service)
  const child = await district.enrol()
  await call('GET', `/v1/children/${child.id}`, { token: district.token })
  await call('PATCH', `/v1/children/${child.id}`, { token: district.token, body: { birthWeightGrams: 3000 } })
  await ask(district.vaccinator, `CARD ${child.cardNumber}`)
  await linkChanges(deps)
  return { district, child }
}

/** What somebody with the password of the database can do. */
const tamper = (sql: string) =>
  database.pool.query(`begin; set local session_replication_role = replica; ${sql}; commit`)

const faults = async () => (await verifyChain(deps, null)).found.map(({ what }) => what)

describe('the record of who saw or changed what', () => {
  test('has every read and write of a child, and every text of a worker, with who and when', async () => {
    const { district, child } = await someHistory()
    const entries = await database.db.change.findMany({ orderBy: { id: 'asc' } })
    const acts = entries.filter(({ subjectId }) => subjectId === child.id).map(({ act }) => act)

    expect(acts).toEqual(['enrol', 'view', 'correct', 'call'])
    const person = await database.db.person.findFirstOrThrow({ where: { phone: district.vaccinator } })
    expect(entries.at(-1)).toMatchObject({ act: 'text', actor: person.id, after: { asked: 'card-status' } })
  })

  test('has each of a hundred reads', async () => {
    const { district, child } = await someHistory()
    for (let read = 0; read < 100; read += 1)
      await call('GET', `/v1/children/${child.id}`, { token: district.token })

    expect(await database.db.change.count({ where: { subjectId: child.id, act: 'view' } })).toBe(101)
  })

  test('names no child and no number, so that it need not be altered when a family has its data removed', async () => {
    const { district, child } = await someHistory()
    await call('PATCH', `/v1/children/${child.id}`, { token: district.token, body: { name: 'Neema Temba' } })
    const said = JSON.stringify(await database.db.change.findMany())

    expect(said).not.toMatch(/Asha|Neema|\+4477/)
  })

  test('cannot be altered by way of its tables', async () => {
    await someHistory()
    for (const sql of [
      `update change set actor = 'somebody else'`,
      'delete from change',
      `update audit_link set digest = 'x'`,
      'delete from audit_link',
    ])
      await expect(database.pool.query(sql)).rejects.toThrow('is not altered')
  })

  test('is whole as long as nobody tampers, also after more is noted', async () => {
    const { district, child } = await someHistory()
    const { head } = await verifyChain(deps, null)
    await call('GET', `/v1/children/${child.id}`, { token: district.token })
    await linkChanges(deps)

    expect(await verifyChain(deps, head)).toMatchObject({ found: [] })
  })

  test.each([
    ['an altered actor', `update change set actor = 'nobody' where act = 'correct'`, ['entry-altered']],
    [
      'another moment',
      `update change set happened_at = happened_at - interval '1 day' where act = 'correct'`,
      ['entry-altered'],
    ],
    ['a removed entry', `delete from change where act = 'correct'`, ['entry-removed']],
    [
      'an entry removed with its link',
      `delete from audit_link where change_id = (select id from change where act = 'correct');
       delete from change where act = 'correct'`,
      ['link-removed'],
    ],
    [
      'a digest made to fit',
      `update audit_link set digest = repeat('0', 64) where serial = 2`,
      ['link-altered', 'entry-altered'],
    ],
    [
      'an entry put in by hand',
      `insert into change (id, happened_at, actor, act, subject_kind)
       values (gen_random_uuid(), '2026-03-01', 'nobody', 'view', 'child')`,
      ['entries-unlinked'],
    ],
  ])('shows %s', async (_what, sql, expected) => {
    await someHistory()
    await tamper(sql)

    expect(await faults()).toEqual(expected)
  })

  test('shows that its end was cut off, or all of it made anew, by a head kept elsewhere', async () => {
    await someHistory()
    const { head } = await verifyChain(deps, null)
    await tamper(`delete from change where id = (select change_id from audit_link order by serial desc limit 1);
      delete from audit_link where serial = (select max(serial) from audit_link)`)

    expect(await faults()).toEqual([])
    expect((await verifyChain(deps, head)).found).toMatchObject([{ what: 'head-unknown' }])
  })

  test('has accesses that were refused', async () => {
    const district = await newDistrict(service)
    await call('GET', `/v1/districts/${district.id}/coverage`, { token: 'wrong' })
    await call('GET', `/v1/districts/${district.id}/coverage`, {
      token: await tokenFor('vaccinator', district.id),
    })

    const refused = () => database.db.change.findMany({ where: { act: 'refused' }, orderBy: { id: 'asc' } })
    for (let look = 0; look < 100 && (await refused()).length < 2; look += 1) await Promise.resolve()
    expect(await refused()).toMatchObject([
      { actor: 'nobody', after: { page: `GET /v1/districts/${district.id}/coverage` } },
      { actor: 'vaccinator', districtId: district.id },
    ])
  })
})
