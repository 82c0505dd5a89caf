/** Five tasks of a manager on the demo, each done by what a page shows: labels, headings, links and buttons, no address. */
import { readFile } from 'node:fs/promises'
import type { Locator, Page } from 'playwright-core'
import { openBrowser, openPage, seriousFaults } from '../support/browser.ts'
import { runningDemo } from '../support/running-demo.ts'

const { address, signInPath } = await runningDemo()
const browser = await openBrowser()
const { page, complaints } = await openPage(browser, address)

const way = (name: string): Promise<void> =>
  page.getByRole('navigation').getByRole('link', { name, exact: true }).click()
const link = (name: string | RegExp): Locator => page.getByRole('link', { name })
const heading = (name: string | RegExp): Promise<void> =>
  page.getByRole('heading', { level: 1, name }).waitFor()

/** Clicks what hands a file out and reads it. */
async function fileFrom(from: Page, named: string): Promise<string> {
  const [download] = await Promise.all([from.waitForEvent('download'), link(named).click()])
  return readFile(await download.path(), 'utf8')
}

/** The cells of the table's body, line by line. */
async function linesShown(): Promise<string[][]> {
  const rows = await page.locator('tbody tr').all()
  return Promise.all(rows.map((row) => row.locator('th, td').allInnerTexts()))
}

beforeAll(async () => {
  await page.goto(signInPath)
  await page.getByRole('button', { name: 'Sign in' }).click()
  await heading('Talamere')
})

test('1: finds the village that is worst off, leaving aside what she does not need', async () => {
  await way('Coverage')
  await page.getByLabel('Dose', { exact: true }).selectOption('PENTA 1')
  for (const column of ['Valid', 'Timely', 'Note']) await page.getByLabel(column, { exact: true }).uncheck()
  await page.getByRole('button', { name: 'Show' }).click()
  await heading('Coverage: PENTA 1')
  await link('Crude').click()
  if ((await page.getByRole('columnheader', { name: 'Crude ▼' }).count()) > 0) await link('Crude').click()

  expect(await page.getByRole('columnheader').allInnerTexts()).toEqual(['Village', 'Target', 'Crude ▲'])
  expect(await seriousFaults(page)).toEqual([])
  const shares = (await linesShown()).map((cells) => Number.parseFloat(cells[2] ?? ''))
  const percents = shares.filter((share) => !Number.isNaN(share))
  expect(percents.length).toBeGreaterThan(1)
  expect(percents[0]).toBeLessThan(80)
})

test('2: lists who has to be found there', async () => {
  const worst = page.locator('tbody').getByRole('link').first()
  const name = await worst.innerText()
  await worst.click()

  await heading(name)
  await page.getByRole('heading', { level: 2, name: 'To be found' }).waitFor()
  expect((await linesShown()).length).toBeGreaterThan(0)
})

test('3: prints the list of a session', async () => {
  await way('Sessions')
  await page.locator('tbody').getByRole('link').first().click()
  await heading(/^Session of /)
  await page.evaluate('window.print = () => { document.title = "on paper" }')
  await page.getByRole('button', { name: 'Print the list' }).click()

  expect(await page.title()).toBe('on paper')
})

test('4: takes away the coverage of children born in a year', async () => {
  await way('Coverage')
  const year = await page.getByLabel('Doses of').locator('option', { hasText: 'born in' }).first().innerText()
  await page.getByLabel('Doses of').selectOption(year)
  await page.getByLabel('Lines').selectOption('every dose in each place')
  await page.getByLabel('Timely', { exact: true }).uncheck()
  await page.getByRole('button', { name: 'Show' }).click()
  await heading('Coverage: every dose')
  const shown = (await linesShown()).length

  const table = (await fileFrom(page, 'This table as a file (CSV)')).trim().split('\r\n')
  expect(table[0]).toMatch(/place,series,dose,target,crude,crude_percent,valid,valid_percent,flags$/)
  const whole = table.filter((line) => line.startsWith('Talamere,'))
  expect(table).toHaveLength(1 + shown + whole.length)
  const raw = await fileFrom(page, 'All doses of all villages as a file (CSV)')
  expect(raw).toMatch(/^village,series,dose,numerator,denominator,coverage_percent,flags\n/)
})

test('5: compares two months', async () => {
  await way('Progress')
  await link('The last month on one page').click()
  await heading(/^Talamere, \d{4}-\d\d$/)
  const other = await page.getByLabel('Compare with').locator('option').nth(1).innerText()
  await page.getByLabel('Compare with').selectOption(other)
  await page.getByRole('button', { name: 'Compare' }).click()

  await page.getByText(`Doses given in ${other} and in `).waitFor()
  const beside = page.getByRole('table', { name: `Doses given in ${other}` })
  const [, before = '', after = '', change = ''] = await beside
    .getByRole('row', { name: /^All / })
    .locator('th, td')
    .allInnerTexts()
  expect(Number(after) - Number(before)).toBe(Number(change))
  expect(await seriousFaults(page)).toEqual([])
})

test('never had a script fail or content refused by the policy', () => {
  expect(complaints).toEqual([])
})
