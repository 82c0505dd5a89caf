/** Two records of one child in a real browser: compared, merged with keys alone, parted again; wide and on a phone. */
import { openBrowser, openPage, seriousFaults } from '../support/browser.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const browser = await openBrowser()

/** Signed in before the pair of a child enrolled twice, on a screen of this width. */
async function beforePair(width: number) {
  await service.empty()
  const district = await newDistrict(service)
  const one = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20', sex: null })
  const phone = phoneOf(one)
  await district.enrol({ name: 'Ascha Temba', birthDate: '2026-01-21', phone, isKnownToBeNew: true })
  await service.ask(district.vaccinator, `GAVE ${one.cardNumber} BCG 02/03/2026`)
  await service.findDoubles()
  const { page, complaints } = await openPage(browser, service.address, width)
  await page.goto('/sign-in')
  await page.getByLabel(/token/i).fill(await district.tokenFor('manager'))
  await page
    .locator('form', { has: page.getByLabel(/token/i) })
    .getByRole('button')
    .click()
  await page.getByRole('link', { name: 'Data check', exact: true }).click()
  await page.getByRole('link', { name: 'Doubles', exact: true }).click()
  return { page, complaints }
}

const isTooWide = 'document.documentElement.scrollWidth > document.documentElement.clientWidth'

test.each([1280, 360])(
  'on a screen of %i the list and the pair fit and have no serious fault',
  async (width) => {
    const { page, complaints } = await beforePair(width)
    expect([await page.evaluate<boolean>(isTooWide), await seriousFaults(page)]).toEqual([false, []])

    await page.getByRole('link', { name: /Asha Temba/ }).click()

    await page.getByRole('heading', { level: 1, name: 'One child or two?' }).waitFor()
    expect([await page.evaluate<boolean>(isTooWide), await seriousFaults(page)]).toEqual([false, []])
    expect(complaints).toEqual([])
  },
)

test('a reviewer chooses a name, merges, and undoes it', async () => {
  const { page } = await beforePair(1280)
  await page.getByRole('link', { name: /Asha Temba/ }).click()
  expect(await page.getByRole('radio', { name: 'Name: Asha Temba' }).isChecked()).toBe(true)

  await page.getByRole('radio', { name: 'Name: Ascha Temba' }).check()
  await page.getByLabel('Why they are one child').fill('one mother')
  await page.getByRole('button', { name: 'Merge into one record' }).click()
  await page.getByRole('heading', { level: 1, name: 'Ascha Temba' }).waitFor()

  await page.getByRole('link', { name: 'Data check', exact: true }).click()
  await page.getByRole('link', { name: 'Doubles', exact: true }).click()
  await page.getByRole('button', { name: /^Undo the merge/ }).click()
  await page.getByText(/\(undone /).waitFor()
  expect(await seriousFaults(page)).toEqual([])
})
