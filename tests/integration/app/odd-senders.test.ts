/** What one phone can hardly have sent: kept and answered as usual, and put before the managers. */
import { receiveText } from '../../../src/app/receive-text.ts'
import { answerText } from '../../../src/app/answering/answer-text.ts'
import { sendAgain } from '../../../src/app/dead-letters.ts'
import { oddReports } from '../../../src/core/operation/sender-limits.ts'
import { silentConveyor } from '../../../src/main/open-deps.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, deps, ask, inbox, deliver } = service
beforeEach(service.empty)

const limits = { ...deps.shelf.senderLimits, textsPerMinute: 3, dosesPerHour: 4 }
const strict = { ...deps, conveyor: silentConveyor, shelf: { ...deps.shelf, senderLimits: limits } }

async function aDistrict(): Promise<TestDistrict> {
  clock.moveTo('2026-03-10T11:00+03:00')
  return newDistrict(service, {
    // Two towns of Kenya some 439 km apart by the haversine formula; degrees from memory.
    villages: [
      { name: 'Mbari', post: 'Ford', latitude: -1.2921, longitude: 36.8219 },
      { name: 'Kesho', post: 'Ford', latitude: -4.0435, longitude: 39.6682 },
    ],
  })
}

let texts = 0

/** Receives and answers a text under strict limits. */
async function text(from: string, body: string): Promise<string> {
  texts += 1
  const key = `odd-${texts}`
  await receiveText(strict, { gateway: 'handset', key, from, to: '40404', body })
  const { id } = await database.db.textIn.findFirstOrThrow({ where: { key } })
  await answerText(strict, id)
  return id
}

const answersTo = (number: string) => database.db.textOut.count({ where: { number, purpose: 'reply' } })
const flagsOf = ({ id }: TestDistrict) =>
  database.db.reviewItem.findMany({ where: { districtId: id }, orderBy: { id: 'asc' } })

test('more doses in an hour than one person gives are recorded, put before the managers and told once', async () => {
  const district = await aDistrict()
  const { vaccinator, manager } = district
  for (const minutes of [5, 5, 5]) {
    clock.advance({ minutes })
    const child = await district.enrol({ birthDate: '2026-01-20', isKnownToBeNew: true })
    await text(vaccinator, `GAVE ${child.cardNumber} BCG BOPV`)
  }

  expect(await database.db.dose.count({ where: { districtId: district.id } })).toBe(6)
  expect(await answersTo(vaccinator)).toBe(3)
  const [flag, ...others] = await flagsOf(district)
  expect([flag?.kind, others]).toEqual(['many-doses', []])
  expect(flag?.note).toMatch(/^Wanda Ford: 4 doses/)
  await deliver()
  expect(inbox(manager).filter((body) => body.includes('doses in one hour'))).toHaveLength(1)
})

test('doses of the day at villages far apart within an hour are put before the managers, older ones are not', async () => {
  const district = await aDistrict()
  const near = await district.enrol({ birthDate: '2026-01-20', village: 'Mbari' })
  const far = await district.enrol({ birthDate: '2026-01-21', village: 'Kesho', isKnownToBeNew: true })
  await text(district.vaccinator, `GAVE ${near.cardNumber} BCG`)
  await text(district.vaccinator, `GAVE ${far.cardNumber} BCG yesterday`)
  expect(await flagsOf(district)).toEqual([])

  await text(district.vaccinator, `GAVE ${far.cardNumber} BOPV`)

  // 440 km, by the great circle between the two positions.
  const [flag, ...others] = await flagsOf(district)
  expect([flag?.kind, others]).toEqual(['far-places', []])
  expect(flag?.note).toMatch(/villages 4[34]\d km apart/)
})

test('texts beyond the limit of a minute are kept unread, answered politely once, and read when a manager says so', async () => {
  const district = await aDistrict()
  const { vaccinator } = district
  const child = await district.enrol({ birthDate: '2026-01-20' })
  for (const word of ['CARD', 'card', 'Card']) await text(vaccinator, `${word} ${child.cardNumber}`)
  const aside = await text(vaccinator, `GAVE ${child.cardNumber} BCG`)
  await text(vaccinator, `GAVE ${child.cardNumber} BOPV`)

  expect(await answersTo(vaccinator)).toBe(4)
  await deliver()
  expect(inbox(vaccinator).filter((body) => body.startsWith('Too many texts'))).toHaveLength(1)
  expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(0)
  expect(
    await database.db.textIn.count({ where: { fromNumber: vaccinator, trouble: 'too-many-texts' } }),
  ).toBe(2)

  await database.transaction((tx) =>
    sendAgain(tx, strict, { districtId: district.id, id: aside, by: 'a manager' }),
  )
  await answerText(strict, aside)
  expect(await database.db.dose.count({ where: { childId: child.id } })).toBe(1)

  clock.advance({ minutes: 2 })
  expect(await ask(vaccinator, `CARD ${child.cardNumber}`)).toContain('Asha')
})

test('places nobody stated are not far from anything', () => {
  const at = new Date('2026-03-10T08:00Z')
  const dose = { reportedAt: at, isOfTheDay: true }
  const doses = [
    { ...dose, latitude: null, longitude: null },
    { ...dose, latitude: -1.2921, longitude: 36.8219 },
  ]

  expect(oddReports(doses, limits, at)).toEqual([])
})
