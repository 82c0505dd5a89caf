import type { Deps } from '../../src/app/deps.ts'
import { enrolChild } from '../../src/app/enrol-child.ts'
import { districtFile } from '../../src/app/district-file.ts'
import { loadDistrict } from '../../src/app/load-district.ts'
import { makeToken } from '../../src/app/tokens.ts'
import type { Day } from '../../src/core/days/day.ts'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import type { Child } from '../../src/core/model.ts'
import { newSecret } from '../../src/platform/ids.ts'
import type { Database } from '../../src/store/database.ts'
import { listVillages } from '../../src/store/districts.ts'
import { fixedClock } from '../support/fixed-clock.ts'
import { testDeps } from '../support/test-deps.ts'

const VILLAGES = ['Mbari', 'Kesho', 'Amber Ford', 'Hill End']
const WORKERS = 50
const FIRST_BIRTH_ON = mustParseDay('2026-01-05')

/** A district at work on 10 March 2026, with children and the people who report for them. */
export interface BenchDistrict {
  readonly deps: Deps
  readonly today: Day
  readonly token: string
  readonly children: readonly Child[]
  readonly workers: readonly string[]
}

/** Fills an empty database with a district and its children, each with a phone. */
export async function benchDistrict(database: Database, children: number): Promise<BenchDistrict> {
  const deps = testDeps(database, fixedClock('2026-03-10T11:00+03:00'))
  const workers = Array.from({ length: WORKERS }, (_, place) => phone(place))
  const file = districtFile.parse({
    district: {
      name: 'Two Rivers',
      timeZone: 'Africa/Nairobi',
      region: 'GB',
      languages: ['en'],
      schedule: 'who-2025-preferred',
    },
    posts: [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] }],
    villages: VILLAGES.map((name) => ({ name, post: 'Ford' })),
    people: workers.map((number, place) => ({
      name: `Worker ${place}`,
      role: 'vaccinator',
      phone: number,
      post: 'Ford',
    })),
  })
  const { district } = await database.transaction((tx) => loadDistrict(tx, deps, file))
  const villages = await listVillages(database.db, district.id)
  const enrolled: Child[] = []
  for (let place = 0; place < children; place += 1) {
    const plan = await database.transaction((tx) =>
      enrolChild(tx, deps, {
        districtId: district.id,
        villageId: villages[place % villages.length]?.id ?? '',
        name: `Child ${place}`,
        sex: place % 2 === 0 ? 'female' : 'male',
        birthOn: addDays(FIRST_BIRTH_ON, place % 14),
        isBirthEstimated: false,
        birthWeightGrams: null,
        birthMinute: null,
        cardNumber: null,
        caregiver: {
          number: phone(WORKERS + (place % 900)),
          language: 'en',
          relation: null,
          consent: 'given',
          consentSource: 'bench',
        },
        isKnownToBeNew: true,
        by: 'bench',
        via: 'api',
      }),
    )
    enrolled.push(plan.child)
  }
  const wish = { name: 'bench', role: 'officer' as const, districtId: district.id, expiresAt: null }
  const { secret } = await makeToken(deps, newSecret, wish)
  return { deps, today: mustParseDay('2026-03-10'), token: secret, children: enrolled, workers }
}

/** Ofcom keeps +44 7700 900000 to 900999 for drama. */
function phone(place: number): string {
  return `+${447_700_900_000 + place}`
}
