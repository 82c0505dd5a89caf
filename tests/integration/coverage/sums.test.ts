/** The maintained sums against a full recount and against plain SQL over the raw doses. */
import { randomUUID } from 'node:crypto'
import fc from 'fast-check'
import { countChildren } from '../../../src/app/count-children.ts'
import { AGE_BANDS } from '../../../src/core/coverage/age-band.ts'
import { doseSheet } from '../../../src/core/coverage/dose-sheet.ts'
import type { Day } from '../../../src/core/days/day.ts'
import { addDays, formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { forecast } from '../../../src/core/schedule/forecast.ts'
import { countFacts, readSums, recountSums } from '../../../src/store/coverage.ts'
import { changeChild, getChild, insertChild, lockChild } from '../../../src/store/children.ts'
import type { Child } from '../../../src/core/model.ts'
import type { Transaction } from '../../../src/store/database.ts'
import { dosesOfChild, insertDoses, replaceVerdicts, voidDose } from '../../../src/store/doses.ts'
import { scheduleFromFile } from '../../support/schedules.ts'
import { openTestDatabase } from '../../support/test-database.ts'

const { db, pool, transaction } = await openTestDatabase()

const schedule = scheduleFromFile('tests/fixtures/coverage/schedule.json')
const sheet = doseSheet(schedule)

const TODAY = mustParseDay('2026-11-25')
const AT = new Date('2026-11-25T08:00:00Z')
const BORN_FROM = mustParseDay('2024-01-01')
const OPERATIONS = 10_000
const PER_TRANSACTION = 50
const WORKERS = 4

const districtId = randomUUID()
const villageIds = Array.from({ length: 4 }, () => randomUUID())

beforeAll(async () => {
  const postId = randomUUID()
  await db.district.create({
    data: {
      id: districtId,
      name: 'Two Rivers',
      timeZone: 'Africa/Nairobi',
      region: 'KE',
      languages: ['en'],
      scheduleCode: schedule.id,
    },
  })
  await db.healthPost.create({ data: { id: postId, districtId, name: 'Ford post' } })
  for (const [index, id] of villageIds.entries())
    await db.village.create({ data: { id, districtId, postId, name: `village ${index}` } })
})

type Operation =
  | { readonly kind: 'enrol'; readonly village: number; readonly bornAfter: number; readonly isGirl: boolean }
  | {
      readonly kind: 'dose'
      readonly child: number
      readonly vaccine: string
      readonly age: number
      readonly isCampaign: boolean
    }
  | { readonly kind: 'void'; readonly child: number; readonly dose: number }
  | { readonly kind: 'move'; readonly child: number; readonly village: number }
  | { readonly kind: 'status'; readonly child: number; readonly status: 'active' | 'died' | 'moved' | 'lost' }
  | { readonly kind: 'correct'; readonly child: number; readonly isGirl: boolean }
  | { readonly kind: 'merge'; readonly child: number }

const some = fc.nat({ max: 1_000_000 })
const village = fc.nat({ max: 3 })
const operation: fc.Arbitrary<Operation> = fc.oneof(
  {
    weight: 1,
    arbitrary: fc.record({
      kind: fc.constant('enrol' as const),
      village,
      bornAfter: fc.nat({ max: 900 }),
      isGirl: fc.boolean(),
    }),
  },
  {
    weight: 12,
    arbitrary: fc.record({
      kind: fc.constant('dose' as const),
      child: some,
      vaccine: fc.constantFrom('BCG', 'PENTA', 'PENTA', 'PENTA', 'MR', 'MR'),
      // Mostly near the usual ages, some years late.
      age: fc.oneof(fc.nat({ max: 120 }), fc.integer({ min: 240, max: 480 }), fc.nat({ max: 1000 })),
      isCampaign: fc.nat({ max: 9 }).map((draw) => draw === 0),
    }),
  },
  { weight: 3, arbitrary: fc.record({ kind: fc.constant('void' as const), child: some, dose: some }) },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant('move' as const), child: some, village }) },
  {
    weight: 2,
    arbitrary: fc.record({
      kind: fc.constant('status' as const),
      child: some,
      status: fc.constantFrom('active' as const, 'died' as const, 'moved' as const, 'lost' as const),
    }),
  },
  {
    weight: 1,
    arbitrary: fc.record({ kind: fc.constant('correct' as const), child: some, isGirl: fc.boolean() }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant('merge' as const), child: some }) },
)

/** Children that one worker may change: two that lock the same children in any order would wait in a ring. */
type Ward = string[]
let cards = 10_000_000

async function enrol(tx: Transaction, at: Extract<Operation, { kind: 'enrol' }>): Promise<string[]> {
  const id = randomUUID()
  await insertChild(tx, {
    id,
    districtId,
    villageId: villageIds[at.village] ?? '',
    cardNumber: String((cards += 1)),
    name: 'Ayo Bell',
    sex: at.isGirl ? 'female' : null,
    birthOn: addDays(BORN_FROM, at.bornAfter),
    isBirthEstimated: false,
    birthWeightGrams: null,
    birthMinute: null,
    enrolledOn: TODAY,
    enrolledBy: 'test',
    enrolledVia: 'import',
    createdAt: AT,
  })
  return [id]
}

/** Does one operation and answers the children whose record it changed. */
async function perform(tx: Transaction, ward: Ward, at: Operation): Promise<string[]> {
  if (at.kind === 'enrol') return enrol(tx, at)
  const id = ward[at.child % ward.length]
  if (id === undefined) return []
  const child = await lockChild(tx, id)
  if (child.status === 'duplicate') return []
  return at.kind === 'merge' ? mergeInto(tx, ward, child) : change(tx, child, at)
}

async function change(
  tx: Transaction,
  child: Child,
  at: Exclude<Operation, { readonly kind: 'enrol' | 'merge' }>,
): Promise<string[]> {
  const { id } = child
  switch (at.kind) {
    case 'dose':
      await giveDose(tx, child, at)
      return [id]
    case 'void':
      await withdrawDose(tx, id, at.dose)
      return [id]
    case 'move':
      await changeChild(tx, id, { villageId: villageIds[at.village] ?? '' })
      return [id]
    case 'status':
      await changeChild(tx, id, { status: at.status, statusOn: TODAY })
      return [id]
    case 'correct':
      await changeChild(tx, id, { sex: at.isGirl ? 'female' : 'male' })
      return [id]
  }
}

async function withdrawDose(tx: Transaction, childId: string, place: number): Promise<void> {
  const doses = await dosesOfChild(tx, childId)
  const dose = doses[place % Math.max(1, doses.length)]
  if (dose !== undefined) await voidDose(tx, dose.id, { at: AT, by: 'test', reason: 'slip' })
}

async function giveDose(
  tx: Transaction,
  child: { readonly id: string; readonly birthOn: Day },
  at: Extract<Operation, { kind: 'dose' }>,
): Promise<void> {
  const givenOn = addDays(child.birthOn, at.age)
  if (givenOn > TODAY) return
  await insertDoses(tx, [
    {
      id: randomUUID(),
      districtId,
      childId: child.id,
      birthOn: child.birthOn,
      vaccine: at.vaccine,
      givenOn,
      typedNumber: null,
      postId: null,
      delivery: at.isCampaign ? 'campaign' : 'routine',
      isElsewhere: false,
      vialId: null,
      isVialAssumed: false,
      vialFlags: [],
      recordedBy: 'test',
      recordedVia: 'import',
      sentAt: null,
      recordedAt: AT,
      textInId: null,
    },
  ])
}

/** A second record of a child is closed and its doses go to the first one, found by its birth date. */
async function mergeInto(tx: Transaction, ward: Ward, double: Child): Promise<string[]> {
  const { id: doubleId, birthOn } = double
  const first = await tx.child.findFirst({
    where: {
      id: { in: ward, not: doubleId },
      birthOn: new Date(formatDay(birthOn)),
      status: { not: 'duplicate' },
    },
  })
  if (first === null) return []
  await lockChild(tx, first.id)
  await replaceVerdicts(tx, [doubleId], [])
  await tx.$executeRaw`
    update dose d set child_id = ${first.id}::uuid
    where child_id = ${doubleId}::uuid
      and not exists (
        select from dose o
        where o.child_id = ${first.id}::uuid and (o.vaccine, o.given_on) = (d.vaccine, d.given_on)
      )`
  await changeChild(tx, doubleId, { status: 'duplicate', statusOn: TODAY })
  return [doubleId, first.id]
}

async function judged(tx: Transaction, id: string) {
  const child = await getChild(tx, id)
  const living = (await dosesOfChild(tx, id)).filter((dose) => dose.voidedAt === null)
  const routine = living.filter((dose) => dose.delivery === 'routine')
  const given = routine.map((dose) => ({ vaccine: dose.vaccine, on: dose.givenOn }))
  const outlook = forecast(schedule, { birthOn: child.birthOn, given }, TODAY)
  const verdicts = outlook.given.flatMap(({ counts }, index) =>
    counts.map(({ series, dose, valid, reason }) => ({
      childId: id,
      doseId: routine[index]?.id ?? '',
      series,
      number: dose,
      isValid: valid,
      reason,
    })),
  )
  await replaceVerdicts(tx, [id], verdicts)
  return { child, living, outlook }
}

/** Several operations and the count of every child they touched, whole or not at all. */
async function performTogether(ward: Ward, operations: readonly Operation[]): Promise<void> {
  const touched = await transaction(async (tx) => {
    const touched = new Set<string>()
    for (const one of operations) for (const id of await perform(tx, ward, one)) touched.add(id)
    const records = []
    for (const id of touched) records.push(await judged(tx, id))
    await countChildren(tx, sheet, records)
    return touched
  })
  ward.push(...[...touched].filter((id) => !ward.includes(id)))
}

function chunks<T>(all: readonly T[], size: number): T[][] {
  return Array.from({ length: Math.ceil(all.length / size) }, (_, place) =>
    all.slice(place * size, (place + 1) * size),
  )
}

test('after 10 000 random operations the sums equal a full recount and a count in plain SQL', async () => {
  const operations = fc.sample(operation, { numRuns: OPERATIONS, seed: 20_261_125 })
  const wards = chunks(operations, OPERATIONS / WORKERS).map(async (own) => {
    const ward: Ward = []
    for (const together of chunks(own, PER_TRANSACTION)) await performTogether(ward, together)
  })
  await Promise.all(wards)

  expect(await transaction(recountSums)).toBe(0)
  const sums = await pool.query(SUMS_BY_DOSE)
  const raw = await pool.query(RAW_BY_DOSE)
  expect(raw.rows.length).toBeGreaterThan(20)
  expect(sums.rows).toEqual(raw.rows)
}, 300_000)

test('transactions that change the same sums at once lose nothing', async () => {
  const wards = Array.from({ length: 8 }, async (_, seed) => {
    const ward: Ward = []
    for (const one of fc.sample(operation, { numRuns: 40, seed })) await performTogether(ward, [one])
  })
  await Promise.all(wards)

  expect(await transaction(recountSums)).toBe(0)
  expect((await pool.query(SUMS_BY_DOSE)).rows).toEqual((await pool.query(RAW_BY_DOSE)).rows)
})

describe('what the sums tell and what is counted dose by dose', () => {
  type Counts = Awaited<ReturnType<typeof readSums>>
  const had = (rows: Counts) => rows.filter(({ crude, valid }) => crude > 0 || valid > 0)
  const texts = (rows: Counts) =>
    had(rows)
      .map((row) => JSON.stringify(row))
      .sort()
  const period = { fromOn: mustParseDay('2025-02-01'), toOn: mustParseDay('2025-08-31') }
  const asked = { districtId, birthYear: null, period: null, ageBands: AGE_BANDS }

  test.each([
    ['the whole register', asked],
    [
      'a birth cohort before its first birthday',
      { ...asked, birthYear: 2025, ageBands: ['under-12m' as const] },
    ],
    ['a period of whole months', { ...asked, period }],
    ['a period, second year of life', { ...asked, period, ageBands: ['12m-to-23m' as const] }],
  ])('agree for %s', async (_, question) => {
    const summed = texts(await readSums(db, question))
    expect(summed.length).toBeGreaterThan(20)
    expect(summed).toEqual(texts(await countFacts(db, question, null)))
  })

  // COV-05: the parts of a breakdown add up to the whole.
  test('girls, boys and children of unrecorded sex add up to all', async () => {
    const parts = await Promise.all(
      (['female', 'male', 'unknown'] as const).map((sex) => countFacts(db, asked, sex)),
    )
    const crude = (rows: Counts): number => rows.reduce((sum, row) => sum + row.crude, 0)
    expect(parts.map(crude).every((count) => count > 0)).toBe(true)
    expect(crude(parts.flat())).toBe(crude(await readSums(db, asked)))
  })
})

test('a sum that was tampered with is put right by the recount', async () => {
  await pool.query(`update coverage_cell set crude = crude + 5 where series = 'BCG'`)
  await pool.query(`update coverage_cell set valid = 0, timely = 0 where series = 'MR'`)
  expect(await transaction(recountSums)).toBeGreaterThan(2)
  expect(await transaction(recountSums)).toBe(0)
  expect((await pool.query(SUMS_BY_DOSE)).rows).toEqual((await pool.query(RAW_BY_DOSE)).rows)
})

describe('a recount beside people at work', () => {
  const expectAgreement = async (): Promise<void> => {
    expect(await transaction(recountSums)).toBe(0)
    expect((await pool.query(SUMS_BY_DOSE)).rows).toEqual((await pool.query(RAW_BY_DOSE)).rows)
  }
  const spoil = (): Promise<unknown> =>
    pool.query(`update coverage_cell set crude = crude + 5, valid = valid + 1`)

  test('does not wait for a dose that is being recorded, and loses nothing of it', async () => {
    const ward: Ward = []
    await performTogether(ward, fc.sample(operation, { numRuns: 30, seed: 71 }))
    let commit = (): void => undefined
    const isDone = new Promise<void>((resolve) => (commit = resolve))
    let begun = (): void => undefined
    const hasBegun = new Promise<void>((resolve) => (begun = resolve))
    const underWay = transaction(async (tx) => {
      const touched = new Set<string>()
      for (const one of fc.sample(operation, { numRuns: 30, seed: 72 }))
        for (const id of await perform(tx, ward, one)) touched.add(id)
      await countChildren(tx, sheet, await Promise.all([...touched].map((id) => judged(tx, id))))
      begun()
      await isDone
    })
    await hasBegun

    // What is under way is not there yet: nothing differs, and nobody waits.
    expect(await transaction(recountSums)).toBe(0)
    commit()
    await underWay
    await expectAgreement()
  })

  test('adds what differs to what was written meanwhile', async () => {
    const workers = Array.from({ length: 6 }, async (_, seed) => {
      const ward: Ward = []
      for (const one of fc.sample(operation, { numRuns: 40, seed: 100 + seed }))
        await performTogether(ward, [one])
    })
    await spoil()
    await Promise.all([transaction(recountSums), ...workers])
    await expectAgreement()
  })

  test('adds what differs once, also when another recount runs', async () => {
    await spoil()
    const mended = await Promise.all([transaction(recountSums), transaction(recountSums)])
    expect(mended.toSorted((one, other) => one - other)).toEqual([0, Math.max(...mended)])
    expect(Math.max(...mended)).toBeGreaterThan(20)
    await expectAgreement()
  })
})

const SUMS_BY_DOSE = `
  select village_id, series, dose, sum(crude)::int as crude, sum(valid)::int as valid
  from coverage_cell
  where is_in_cohort and delivery = 'routine' and series in ('BCG', 'PENTA', 'MR')
  group by 1, 2, 3
  having sum(crude) > 0
  order by 1, 2, 3`

/** From dose, verdict and child alone: the card's number of a dose is the running maximum of its number. */
const RAW_BY_DOSE = `
  with numbered as (
    select
      c.village_id, v.child_id, v.series, v.number, v.is_valid,
      row_number() over series_of_child as place,
      max(v.number - row_number_) over series_of_child as lead
    from (
      select v.*, d.given_on, row_number() over (partition by v.child_id, v.series order by d.given_on) as row_number_
      from dose_verdict v
      join dose d on d.id = v.dose_id
      where d.voided_at is null and v.number is not null
    ) v
    join child c on c.id = v.child_id
    where c.status not in ('died', 'moved', 'duplicate')
    window series_of_child as (partition by v.child_id, v.series order by v.given_on)
  ),
  had as (
    select village_id, child_id, series, place + lead as dose, 1 as crude, 0 as valid from numbered
    union all
    select village_id, child_id, series, number, 0, 1 from numbered where is_valid
  )
  select village_id, series, dose::int as dose, sum(crude)::int as crude, sum(valid)::int as valid
  from had
  where (series, dose) in (('BCG', 1), ('PENTA', 1), ('PENTA', 2), ('PENTA', 3), ('MR', 1), ('MR', 2))
  group by 1, 2, 3
  order by 1, 2, 3`
