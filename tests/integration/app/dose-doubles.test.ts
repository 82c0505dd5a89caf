/** One dose that two sources tell of: one at entry where vaccine and day agree, a question for a person where they are near. */
import { z } from 'zod'
import { CIVIL, anImmunization, send } from '../../support/fhir-delivery.ts'
import { takeRegister } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { ask, call, findDoubles } = service
const { db } = service.database
beforeEach(service.empty)

interface Told {
  readonly district: TestDistrict
  readonly child: ChildJson
}

/** Each tells of BCG on the day; CVX 19 is BCG. */
const SOURCES: Readonly<Record<string, (told: Told, on: string) => Promise<unknown>>> = {
  text: ({ district, child }, on) =>
    ask(district.vaccinator, `GAVE ${child.cardNumber} BCG ${on.split('-').reverse().join('/')}`),
  API: ({ district, child }, on) =>
    call('POST', `/v1/children/${child.id}/doses`, {
      token: district.token,
      body: { vaccines: ['BCG'], givenOn: on },
    }),
  file: ({ district, child }, on) =>
    takeRegister(
      service,
      district.id,
      [
        'card_number,name,sex,birth_date,village,BCG',
        `${child.cardNumber},Asha Temba,female,2026-01-20,Mbari,${on}`,
      ].join('\n'),
    ),
  FHIR: async ({ district }, on) =>
    send(service, await district.tokenFor('machine'), [
      anImmunization({ child: 'K-1', number: `N-${on}`, cvx: '19', on }),
    ]),
}

async function oneChild(): Promise<Told> {
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  await db.childNumber.create({
    data: { issuer: CIVIL, number: 'K-1', childId: child.id, since: new Date() },
  })
  return { district, child }
}

const living = ({ child }: Told) =>
  db.dose.findMany({ where: { childId: child.id, voidedAt: null }, orderBy: { givenOn: 'asc' } })

const PAIRS = Object.keys(SOURCES).flatMap((first) =>
  Object.keys(SOURCES).map((second) => [first, second] as const),
)

test.each(PAIRS)('a dose told by %s and then by %s is one dose', async (first, second) => {
  const told = await oneChild()

  await SOURCES[first]?.(told, '2026-03-02')
  expect(await living(told)).toHaveLength(1)
  await SOURCES[second]?.(told, '2026-03-02')

  expect(await living(told)).toHaveLength(1)
  await findDoubles()
  expect(await db.reviewItem.count({ where: { kind: 'dose-twice' } })).toBe(0)
})

const doubles = z.object({
  waiting: z.array(z.object({ id: z.string(), kind: z.string(), doseIds: z.array(z.string()) })),
  report: z.array(z.object({ kind: z.string(), outcome: z.string(), pairs: z.number() })),
})

async function listed({ district: { id, token } }: Told) {
  await findDoubles()
  return doubles.parse((await call('GET', `/v1/districts/${id}/doubles`, { token })).body)
}

/** BCG by text and, three days later, by FHIR. */
async function toldTwice() {
  const told = await oneChild()
  await SOURCES['text']?.(told, '2026-03-02')
  await SOURCES['FHIR']?.(told, '2026-03-05')
  const { waiting } = await listed(told)
  return { told, waiting }
}

test('two doses of a vaccine some days apart wait for a person, once', async () => {
  const { told, waiting } = await toldTwice()

  const ids = (await living(told)).map(({ id }) => id)
  expect(waiting.map(({ kind, doseIds }) => [kind, doseIds.toSorted()])).toEqual([
    ['dose-twice', ids.toSorted()],
  ])
  expect((await listed(told)).waiting).toHaveLength(1)
})

test('two vaccines that count for one series wait only where two sources told of them', async () => {
  const told = await oneChild()
  const { district, child } = told
  // CVX 198 is PENTA; HEXA holds the same three components and more.
  await ask(district.vaccinator, `GAVE ${child.cardNumber} HEXA 03/03/2026`)
  expect((await living(told)).map(({ vaccine }) => vaccine)).toEqual(['HEXA'])
  await send(service, await district.tokenFor('machine'), [
    anImmunization({ child: 'K-1', number: 'N-9', on: '2026-03-05' }),
  ])

  expect((await listed(told)).waiting).toHaveLength(1)

  await db.dose.updateMany({ where: { childId: child.id }, data: { recordedVia: 'sms' } })
  await db.reviewItem.deleteMany({})
  expect((await listed(told)).waiting).toEqual([])
})

test.each([
  ['one-dose', 'one dose', 1],
  ['not-double', 'two doses', 2],
])('said to be %s, a pair is settled for good and stands in the report', async (outcome, _, left) => {
  const { told, waiting } = await toldTwice()
  const [pair] = waiting
  const [keepDoseId] = pair?.doseIds ?? []

  const reply = await call('POST', `/v1/doubles/${pair?.id ?? ''}/${outcome}`, {
    token: told.district.token,
    body: outcome === 'one-dose' ? { keepDoseId } : {},
  })

  expect(reply).toMatchObject({ status: 200, body: { outcome } })
  expect(await living(told)).toHaveLength(left)
  expect(await listed(told)).toEqual({ waiting: [], report: [{ kind: 'dose-twice', outcome, pairs: 1 }] })
})

test('a pair of which one dose was withdrawn elsewhere waits no more', async () => {
  const { told } = await toldTwice()
  const [dose] = await living(told)

  await call('POST', `/v1/doses/${dose?.id ?? ''}/withdrawal`, {
    token: told.district.token,
    body: { reason: 'wrong child' },
  })

  expect(await living(told)).toHaveLength(1)
  expect(await listed(told)).toMatchObject({
    waiting: [],
    report: [{ kind: 'dose-twice', outcome: 'no-longer', pairs: 1 }],
  })
})
