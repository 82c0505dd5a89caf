/** The card and the session sheet on paper, with a code that a second library reads. */
import { formatCardNumber } from '../../../src/core/card-number.ts'
import { pageVisitor } from '../../support/page-server.ts'
import { readCode } from '../../support/read-code.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-10T10:00+03:00')
const { ask, clock, database } = service
beforeEach(service.empty)

async function aCard(): Promise<{ district: TestDistrict; child: ChildJson; text: string }> {
  clock.moveTo('2026-03-10T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  await ask(district.vaccinator, 'OPENED PENTA L4471B 05/2027')
  await ask(district.vaccinator, `GAVE ${child.cardNumber} ALL`)
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const { text } = await visitor.get(`/districts/${district.id}/children/${child.id}/card`)
  return { district, child, text }
}

test('a printed card has what the register has, and its number for eyes and cameras', async () => {
  const { child, text } = await aCard()

  expect(text).toContain(`Card ${formatCardNumber(child.cardNumber)}`)
  expect(readCode(text)).toBe(child.cardNumber)
  const doses = await database.db.dose.findMany({ where: { childId: child.id } })
  const rows = [...text.matchAll(/<th scope="row">(\w+) \d<\/th>\s*<td>Tue 10 Mar 2026<\/td>/g)]
  expect(rows.map(([, vaccine]) => vaccine).sort()).toEqual(doses.map(({ vaccine }) => vaccine).sort())
  expect(text).toMatch(/Next visit: Tue 7 Apr 2026 at Ford/)
  // The words that a clinician signs, in the language of the family.
  expect(text).toContain('Mild fever or a sore limb for 1-2 days is normal.')
})

test('who had a card printed is kept (requirement DOS-10)', async () => {
  const { district, child } = await aCard()

  const views = await database.db.change.findMany({ where: { districtId: district.id, act: 'view' } })
  const pages = views.map(({ after }) => JSON.stringify(after))
  expect(pages.filter((page) => page.includes(`/children/${child.id}/card`))).toHaveLength(1)
})

test('the session sheet has a code for every child', async () => {
  clock.moveTo('2026-03-09T10:00+03:00')
  const district = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })

  const { text } = await visitor.get(`/districts/${district.id}/sessions/2026-03-10`)

  expect(readCode(text)).toBe(child.cardNumber)
})
