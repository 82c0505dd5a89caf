/** Whom a child's data was handed to, by child (requirement SEC-15). */
import { z } from 'zod'
import { linkChanges } from '../../../src/app/audit/link-changes.ts'
import { verifyChain } from '../../../src/app/audit/verify-chain.ts'
import { runDuebell } from '../../support/run-duebell.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call, clock, database, deps, empty, liveThrough } = service

beforeEach(async () => {
  await empty()
  await database.pool.query('truncate audit_link')
  clock.moveTo('2026-03-04T10:00+03:00')
})

const recordShape = z.object({
  entries: z.array(
    z.object({
      at: z.string(),
      who: z.string(),
      act: z.string(),
      what: z.string().nullable(),
      isAmongOthers: z.boolean(),
    }),
  ),
})

async function whoGot({ token }: TestDistrict, { id }: ChildJson) {
  return recordShape.parse((await call('GET', `/v1/children/${id}/record`, { token })).body).entries
}

async function twoChildren() {
  const district = await newDistrict(service)
  const told = await district.enrol({ name: 'Zawadi Okello', birthDate: '2026-01-20' })
  await liveThrough('2026-03-12T10:00+03:00')
  const later = await district.enrol({ name: 'Neema Temba', birthDate: '2026-03-11' })
  return { district, told, later }
}

test('lists, searches, files and exports that named a child are listed by child, with who and when', async () => {
  const { district, told } = await twoChildren()
  const { id, token } = district
  const machine = await district.tokenFor('machine')
  await call('GET', `/v1/children?district=${id}&limit=50`, { token })
  await call('GET', `/v1/districts/${id}/register.csv`, { token })
  await call('GET', '/fhir/R4/Patient', { token: machine })
  const at = encodeURIComponent(new Date(Date.now() + 60_000).toISOString())
  await call('GET', `/fhir/R4/$export-file/Patient?_until=${at}&_identified=true`, { token: machine })

  const entries = await whoGot(district, told)

  expect(entries).toContainEqual(
    expect.objectContaining({ who: 'officer', what: 'GET /v1/children', isAmongOthers: true }),
  )
  for (const what of [`GET /v1/districts/${id}/register.csv`, 'GET /fhir/R4/Patient'])
    expect(entries).toContainEqual(expect.objectContaining({ what, isAmongOthers: true }))
  expect(entries).toContainEqual(expect.objectContaining({ who: 'machine', act: 'exchange-out' }))
  const [first] = entries
  expect(new Date(first?.at ?? '').getTime()).toBe(clock.now().getTime())
})

test('what named other children only is not on the list of a child', async () => {
  const { district, told, later } = await twoChildren()
  await call('GET', `/v1/children?district=${district.id}&card=${told.cardNumber}`, { token: district.token })

  const what = 'GET /v1/children'
  expect(await whoGot(district, told)).toContainEqual(expect.objectContaining({ what }))
  expect(await whoGot(district, later)).not.toContainEqual(expect.objectContaining({ what }))
})

test('a text that told a vaccinator of a child is on its list, by her name', async () => {
  const { district, told } = await twoChildren()
  expect(await ask(district.vaccinator, `CARD ${told.cardNumber}`)).toContain('Zawadi')
  expect(await ask(district.vaccinator, 'DUE')).toContain('Zawadi')

  const { name } = await database.db.person.findFirstOrThrow({ where: { phone: district.vaccinator } })
  const texts = (await whoGot(district, told)).filter(({ act }) => act === 'text')
  expect(texts.map(({ who, what }) => [who, what])).toEqual([
    [name, 'due-list'],
    [name, 'card-status'],
  ])
})

test('a list taken by command is on the list of each child in it, and duebell audit child shows it', async () => {
  const { district, told } = await twoChildren()
  const environment = { DATABASE_URL: database.url }
  const { output } = await runDuebell(['defaulters', '--district', district.file.district.name], environment)
  expect(output).toContain(told.cardNumber)

  const shown = await runDuebell(['audit', 'child', told.cardNumber], environment)
  expect(shown.output).toContain('\tdownload\t')
  expect(shown.output).toContain('\tenrol\tchild\t')
})

test('whom an entry names is under the chain: leaving a child out of it shows', async () => {
  const { district, told } = await twoChildren()
  await call('GET', `/v1/children?district=${district.id}&limit=50`, { token: district.token })
  await linkChanges(deps)
  expect((await verifyChain(deps, null)).found).toEqual([])

  const update = `update change set child_ids = array_remove(child_ids, '${told.id}')`
  await expect(database.pool.query(update)).rejects.toThrow('is not altered')
  await database.pool.query(`begin; set local session_replication_role = replica; ${update}; commit`)

  expect((await verifyChain(deps, null)).found.map(({ what }) => what)).toContain('entry-altered')
})
