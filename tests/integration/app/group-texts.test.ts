/** One text to the families of a chosen group (requirement SCH-13). */
import { runningService } from '../../support/running-service.ts'
import { newDistrict, phoneOf } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { ask, call, clock, database, deliver, inbox } = service
beforeEach(service.empty)

const WORDS = 'A measles day for children of 1 to 5 years is held on Sat 21 Mar at the school.'

const write = ({ id, token }: TestDistrict, wish: object = {}) =>
  call('POST', `/v1/districts/${id}/group-texts`, {
    token,
    body: {
      bornFrom: '2025-01-01',
      bornTo: '2026-01-31',
      series: 'MR',
      dose: 1,
      words: { en: WORDS },
      ...wish,
    },
  })

async function aGroup() {
  clock.moveTo('2026-03-10T10:00+03:00')
  const district = await newDistrict(service)
  const isKnownToBeNew = true
  const lacking = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  const sibling = { name: 'Juma Temba', birthDate: '2025-12-20', phone: phoneOf(lacking), isKnownToBeNew }
  await district.enrol(sibling)
  const stopped = await district.enrol({ name: 'Neema Hill', birthDate: '2026-01-21', isKnownToBeNew })
  await ask(phoneOf(stopped), 'STOP')
  const older = await district.enrol({ name: 'Baraka Hill', birthDate: '2024-06-01', isKnownToBeNew })
  await deliver()
  return { district, lacking, stopped, older }
}

test('is counted first, and sent once to each phone that wants texts when a manager confirms', async () => {
  const { district, lacking, stopped, older } = await aGroup()
  const before = [lacking, stopped, older].map((child) => inbox(phoneOf(child)).length)

  const looked = await write(district)
  await deliver()
  expect(looked.body).toEqual({ children: 3, phones: 1, parts: 1, isSent: false })
  expect([lacking, stopped, older].map((child) => inbox(phoneOf(child)).length)).toEqual(before)

  expect((await write(district, { isConfirmed: true })).body).toMatchObject({ phones: 1, isSent: true })
  await deliver()
  expect(inbox(phoneOf(lacking)).at(-1)).toBe(`Ford: ${WORDS} To stop: STOP`)
  expect([stopped, older].map((child) => inbox(phoneOf(child)).length)).toEqual(before.slice(1))
  expect(await database.db.change.findFirst({ where: { act: 'text-group' } })).toMatchObject({
    after: { lacking: 'MR 1', texts: 1 },
  })
})

test('waits for the hours of the district', async () => {
  const { district, lacking } = await aGroup()
  clock.moveTo('2026-03-10T22:00+03:00')

  await write(district, { isConfirmed: true })
  await deliver()
  expect(inbox(phoneOf(lacking)).join()).not.toContain('measles')
  clock.moveTo('2026-03-11T08:00+03:00')
  await deliver()
  expect(inbox(phoneOf(lacking)).join()).toContain('measles')
})

test.each([
  ['a language of the group without words', { words: { fr: 'Journée rougeole.' } }, 'group-words-missing'],
  ['a dose that the schedule lacks, which everybody would lack', { dose: 9 }, 'group-dose-unknown'],
  ['words of three parts', { words: { en: 'x'.repeat(299) + ' ' } }, 'group-words-long'],
])('is refused for %s', async (_what, wish, code) => {
  const { district } = await aGroup()

  expect(await write(district, wish)).toMatchObject({ status: 422, body: { code } })
})
