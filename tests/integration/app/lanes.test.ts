import { handOver } from '../../../src/app/hand-over.ts'
import { laneFor, lanesOf, leaseMs, numbersOf } from '../../../src/app/lanes.ts'
import type { Gateway, OutgoingText } from '../../../src/app/ports.ts'
import { routedGateway } from '../../../src/gateway/routing.ts'
import { pickBundles } from '../../../src/store/reminders.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, handset } = service
beforeEach(service.empty)

const taken: OutgoingText[] = []
const way = (name: string, isUp = true): Gateway => ({
  ...handset,
  name,
  isUp: () => isUp,
  submit: (text) => {
    taken.push(text)
    return Promise.resolve({ kind: 'accepted', providerIds: [`${name}-${text.id}`] })
  },
})

/** Every test number starts with +447700. */
const twoWays = (isUp = true): Gateway =>
  routedGateway('ways', [
    { prefixes: ['+4477'], gateway: way('south', isUp) },
    { prefixes: ['+44', ''], gateway: way('north') },
  ])

describe('lanes', () => {
  test('serve the numbers that their prefix fits longest', () => {
    const lanes = lanesOf(twoWays())

    expect(lanes.map(({ name }) => name)).toEqual(['south', 'north'])
    expect(laneFor(lanes, '+447700900123').name).toBe('south')
    expect(laneFor(lanes, '+441632960123').name).toBe('north')
    expect(laneFor(lanes, '+254700000000').name).toBe('north')
  })

  test('lease a text for as long as its parts may take', () => {
    const [lane] = lanesOf({ ...handset, answersWithinMs: 1000 })

    expect(lane === undefined ? 0 : leaseMs(lane, 3) - leaseMs(lane, 1)).toBe(2000)
  })

  test('take their own numbers only, and one in trouble takes none and holds up no other', async () => {
    clock.moveTo('2026-03-04T10:00+03:00')
    const district = await newDistrict(service)
    const child = await district.enrol({ birthDate: '2026-01-20' })
    clock.moveTo('2026-03-09T08:00+03:00')
    taken.length = 0

    await handOver(deps, twoWays(), 'north')
    await handOver(deps, twoWays(false), 'south')
    expect(taken).toEqual([])
    await handOver(deps, twoWays(), 'south')

    expect(taken.map(({ to }) => to)).toEqual([phoneOf(child)])
    // The district's hours end at 19:00.
    expect(taken[0]?.leaveBefore).toEqual(new Date('2026-03-09T19:00+03:00'))
  })
})

test('districts take turns: a large one holds up no other', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const [large, small] = [await newDistrict(service), await newDistrict(service)]
  for (const name of ['Asha', 'Juma', 'Zawadi', 'Baraka'])
    await large.enrol({ name, birthDate: '2026-01-20' })
  const last = await small.enrol({ birthDate: '2026-01-20' })
  clock.moveTo('2026-03-09T08:00+03:00')
  const [lane] = lanesOf(handset)
  if (lane === undefined) throw new Error('a gateway has a lane')

  const next = await pickBundles(database.db, numbersOf(lane, [lane]), clock.now(), 2)

  const line = await database.db.caregiver.findFirstOrThrow({ where: { childId: last.id } })
  expect(next).toHaveLength(2)
  expect(next.map(({ lineId }) => lineId)).toContain(line.lineId)
})
