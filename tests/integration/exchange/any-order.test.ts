/** Deliveries over bad links: in any order, cut anywhere, again and again, they end in the same record. */
import fc from 'fast-check'
import { z } from 'zod'
import { addDays, formatDay, mustParseDay } from '../../../src/core/days/day.ts'
import { aBundle, anImmunization, aPatient, CIVIL, entriesOf } from '../../support/fhir-delivery.ts'
import type { ResourceJson } from '../../support/fhir-delivery.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call, database } = service
const district = await newDistrict(service)
const token = await district.tokenFor('machine')

const NAMES = ['Asha Temba', 'Zuberi Quill', 'Mosi Okonkwo']
const BORN = ['2025-12-20', '2026-01-05', '2026-01-20']
const FIRST = mustParseDay('2025-12-15')
const CVX = ['19', '178', '198', '152', '88']
const STATED = [undefined, '2026-03-01T08:00:00Z', '2026-03-02T08:00:00Z']

/** What another register says, in some order of its own. */
interface Said {
  readonly deadChild: number | null
  readonly doses: readonly {
    readonly child: number
    readonly number: number
    readonly vaccine: number
    readonly day: number
    readonly isTakenBack: boolean
    readonly stated: number
  }[]
}

const said: fc.Arbitrary<Said> = fc.record({
  deadChild: fc.option(fc.nat({ max: 2 })),
  doses: fc.array(
    fc.record({
      child: fc.nat({ max: 2 }),
      number: fc.nat({ max: 4 }),
      vaccine: fc.nat({ max: CVX.length - 1 }),
      day: fc.nat({ max: 78 }),
      isTakenBack: fc.boolean(),
      stated: fc.nat({ max: 2 }),
    }),
    { minLength: 1, maxLength: 8 },
  ),
})

let worlds = 0

/** The resources of a world of its own: its numbers are nobody else's. */
function resourcesOf({ deadChild, doses }: Said): {
  readonly world: string
  readonly resources: ResourceJson[]
} {
  worlds += 1
  const world = `W${worlds}`
  const children = NAMES.flatMap((name, child) => {
    const wish = { number: `${world}-${child}`, name, birthDate: BORN[child] ?? '' }
    const dead = { ...wish, more: { deceasedDateTime: '2026-03-04' } }
    return deadChild === child ? [aPatient(wish), aPatient(dead)] : [aPatient(wish)]
  })
  const immunizations = doses.map(({ child, number, vaccine, day, isTakenBack, stated }) =>
    anImmunization({
      child: `${world}-${child}`,
      number: `${world}-D${number}`,
      cvx: CVX[vaccine] ?? '',
      on: formatDay(addDays(FIRST, day)),
      ...(isTakenBack ? { status: 'entered-in-error' } : {}),
      ...(STATED[stated] === undefined ? {} : { statedAt: STATED[stated] }),
    }),
  )
  return { world, resources: [...children, ...immunizations] }
}

/** In which order things are sent, and in batches of which sizes. */
interface Way {
  readonly order: readonly number[]
  readonly sizes: readonly number[]
}

/** Sends everything and gives the record that comes of it. */
async function recordAfter(said: Said, { order, sizes }: Way): Promise<unknown> {
  await database.pool.query('truncate child, stated_dose cascade')
  const { world, resources } = resourcesOf(said)
  const once = [...resources.keys()].sort((a, b) => (order[a] ?? 0) - (order[b] ?? 0) || a - b)
  // What was sent is sent again, in part, in yet another order.
  const again = once.filter((place) => (order[place] ?? 0) % 2 === 1).reverse()
  const queue = [...once, ...again].flatMap((place) => resources[place] ?? [])
  for (let turn = 0; queue.length > 0; turn += 1) {
    const batch = queue.splice(0, (sizes[turn % sizes.length] ?? 0) + 1)
    entriesOf(await call('POST', '/fhir/R4', { token, body: aBundle(batch, 'batch') }))
  }
  return recordOf(world)
}

const found = z.object({ entry: z.array(z.object({ resource: z.object({ id: z.string() }) })) })

async function recordOf(world: string): Promise<unknown> {
  const children = await Promise.all(
    NAMES.map(async (_name, child) => {
      const { body } = await call('GET', `/fhir/R4/Patient?identifier=${CIVIL}|${world}-${child}`, { token })
      const id = found.parse(body).entry[0]?.resource.id ?? ''
      const { name, status, statusOn, birthOn } = await database.db.child.findUniqueOrThrow({ where: { id } })
      const doses = await database.db.dose.findMany({
        where: { childId: id, voidedAt: null },
        include: { doseVerdicts: true },
      })
      const visit = await database.db.appointment.findFirst({ where: { childId: id, status: 'planned' } })
      return {
        child: { name, status, statusOn, birthOn },
        doses: doses
          .map(({ vaccine, givenOn, isElsewhere, doseVerdicts }) => [
            vaccine,
            givenOn.toISOString(),
            isElsewhere,
            doseVerdicts
              .map(({ series, number, isValid, reason }) => [series, number, isValid, reason].join(' '))
              .sort(),
          ])
          .map((dose) => JSON.stringify(dose))
          .sort(),
        visit: visit === null ? null : { on: visit.sessionOn, doses: visit.doses },
      }
    }),
  )
  const aside = await database.db.statedDose.findMany({
    select: { number: true, vaccine: true, givenOn: true, isWithdrawn: true, problem: true },
  })
  const inWords = aside
    .map((each) => JSON.stringify({ ...each, number: each.number.replace(world, '') }))
    .sort()
  return { children, aside: inWords }
}

test('batches in any order, cut anywhere and repeated end in the same record', async () => {
  const way: fc.Arbitrary<Way> = fc.record({
    order: fc.array(fc.nat({ max: 1000 }), { minLength: 12, maxLength: 12 }),
    sizes: fc.array(fc.nat({ max: 4 }), { minLength: 1, maxLength: 4 }),
  })

  await fc.assert(
    fc.asyncProperty(said, way, way, async (all, oneWay, otherWay) => {
      const one = await recordAfter(all, oneWay)
      expect(await recordAfter(all, otherWay)).toEqual(one)
    }),
    { numRuns: 40, interruptAfterTimeLimit: 200_000, markInterruptAsFailure: true },
  )
}, 240_000)
