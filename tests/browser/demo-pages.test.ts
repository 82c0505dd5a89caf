/** The manager's day in a real browser on the demo: its story has been played, its pages are served. */
import type { Dialog, Page } from 'playwright-core'
import { openBrowser, openPage, seriousFaults } from '../support/browser.ts'
import { runningDemo } from '../support/running-demo.ts'

const { address, signInPath } = await runningDemo()
const browser = await openBrowser()

const { page: manager, complaints } = await openPage(browser, address)

/** With SCREENSHOTS set to a folder, what is seen is kept there. */
async function keepPicture(page: Page, name: string): Promise<void> {
  const folder = process.env['SCREENSHOTS']
  if (folder !== undefined) await page.screenshot({ path: `${folder}/${name}.png` })
}

const WAYS = [
  'Overview',
  'Coverage',
  'Doses',
  'Progress',
  'Map',
  'Sessions',
  'Vials',
  'Cold chain',
  'Supplies',
  'Reactions',
  'Find and follow',
  'Texts',
  'Data check',
  'People',
  'Schedule',
]

async function go(way: string): Promise<void> {
  await manager.getByRole('navigation').getByRole('link', { name: way, exact: true }).click()
}

beforeAll(async () => {
  await manager.goto(signInPath)
  await manager.getByRole('button', { name: 'Sign in' }).click()
  await manager.getByRole('heading', { name: 'Talamere' }).waitFor()
})

describe('the manager', () => {
  test('sees the vial that was thrown away after four weeks, and the reaction that was taken on', async () => {
    const overview = new URL(manager.url()).pathname
    await manager.goto(`${address}${overview}/vials`)
    const vials = (await manager.locator('main').textContent()) ?? ''
    await manager.goto(`${address}${overview}/reactions`)
    const reactions = (await manager.locator('main').textContent()) ?? ''
    await manager.goto(`${address}${overview}`)

    expect(vials).toMatch(/FIPV/)
    expect(reactions).toMatch(/fits since noon/)
    expect(reactions).toMatch(/Edith Marlowe/)
  })

  test('finds the worst village, whom to find there, and the list to print', async () => {
    await keepPicture(manager, 'overview')
    await go('Coverage')
    await manager.getByLabel('Dose', { exact: true }).selectOption('PENTA 1')
    await manager.getByRole('button', { name: 'Show' }).click()
    await keepPicture(manager, 'coverage')
    const worst = manager.locator('tbody tr').first()
    const percent = Number.parseFloat((await worst.locator('td').nth(1).textContent()) ?? '')
    const name = (await worst.getByRole('link').textContent()) ?? ''
    expect(percent).toBeLessThan(80)

    await worst.getByRole('link').click()
    await manager.getByRole('heading', { level: 1, name }).waitFor()
    await keepPicture(manager, 'village')
    const toBeFound = manager.locator('table.list tbody tr')
    expect(await toBeFound.count()).toBeGreaterThan(0)

    await manager.locator('h1 + p a').first().click()
    await manager.getByRole('heading', { level: 1, name: /^Session of / }).waitFor()
    await manager.emulateMedia({ media: 'print' })
    expect(await manager.getByRole('navigation').isVisible()).toBe(false)
    expect(await manager.getByRole('button', { name: 'Print' }).isVisible()).toBe(false)
    expect(await manager.locator('.box').first().isVisible()).toBe(true)
    const paper = await manager.pdf({ format: 'A4' })
    expect(paper.subarray(0, 5).toString()).toBe('%PDF-')
    await manager.emulateMedia({ media: 'screen' })
  })

  test('prints lists no wider than the sheet, with nothing running into its neighbour', async () => {
    await go('Sessions')
    await manager.locator('tbody a').nth(1).click()
    await manager.emulateMedia({ media: 'print' })
    // A4 less its margins, at the 96 dots an inch of CSS.
    await manager.setViewportSize({ width: Math.floor(((210 - 24) / 25.4) * 96), height: 900 })

    const isCut = await manager.evaluate<boolean>(
      `[...document.querySelectorAll('.scroll, .list td')].some((box) => box.scrollWidth > box.clientWidth)`,
    )
    await keepPicture(manager, 'session-printed')
    await manager.setViewportSize({ width: 1280, height: 900 })
    await manager.emulateMedia({ media: 'screen' })
    expect(isCut).toBe(false)
  })

  test('is asked before leaving what was typed and not saved', async () => {
    await go('Find and follow')
    await manager.locator('a[href$="/lists/missed"]').click()
    const row = manager.locator('table.list tbody tr').first()
    await row.locator('summary').click()
    await row.getByLabel('Why').pressSequentially('to the coast')
    let asked = 0
    const stay = (dialog: Dialog): void => {
      asked += 1
      void dialog.dismiss()
    }
    manager.on('dialog', stay)
    const here = manager.url()
    const dialog = manager.waitForEvent('dialog')
    await Promise.all([
      dialog,
      manager.getByRole('link', { name: 'Texts', exact: true }).click({ noWaitAfter: true }),
    ])
    expect((await dialog).type()).toBe('beforeunload')
    expect(manager.url()).toBe(here)
    expect(await row.getByLabel('Why').inputValue()).toBe('to the coast')

    manager.off('dialog', stay)
    manager.once('dialog', (last) => void last.accept())
    await go('Texts')
    await go('Coverage')
    expect(asked).toBe(1)
  })

  test('notes what came of looking for a child, and the list is shorter', async () => {
    await go('Find and follow')
    await manager.locator('a[href$="/lists/missed"]').click()
    await keepPicture(manager, 'to-be-found')
    const rows = manager.locator('table.list tbody tr')
    const before = await rows.count()
    await rows.first().locator('summary').click()
    await rows.first().getByLabel('What came of it').selectOption('moved away')
    await rows.first().getByLabel('Why').fill('to the coast')
    await rows.first().getByRole('button', { name: 'Save' }).click()
    await manager.getByText('to the coast').waitFor()
    await keepPicture(manager, 'child')

    await go('Find and follow')
    await manager.locator('a[href$="/lists/missed"]').click()
    expect(await rows.count()).toBe(before - 1)
  })

  test('prints the card of a child on one sheet, without a serious fault of accessibility', async () => {
    await go('Find and follow')
    await manager.locator('a[href$="/lists/missed"]').click()
    await manager.locator('table.list tbody th a').first().click()
    await manager.getByRole('link', { name: 'card to print' }).click()
    await manager.getByRole('img', { name: /^Card \d{4} \d{4} as a QR code$/ }).waitFor()
    expect(await seriousFaults(manager)).toEqual([])

    await manager.emulateMedia({ media: 'print' })
    await keepPicture(manager, 'card-printed')
    const paper = (await manager.pdf({ format: 'A4' })).toString('latin1')
    await manager.emulateMedia({ media: 'screen' })
    expect(paper.match(/\/Type \/Page\b/g)).toHaveLength(1)
  })

  test.each(WAYS)('reads the page %s without a serious fault of accessibility', async (way) => {
    await go(way)
    await keepPicture(manager, way.toLowerCase().replaceAll(' ', '-'))

    expect(await manager.getByRole('navigation').locator('[aria-current]').textContent()).toContain(way)
    expect(await seriousFaults(manager)).toEqual([])
  })

  test('never had a script fail or content refused by the policy', () => {
    expect(complaints).toEqual([])
  })
})

describe('on a small screen', () => {
  test.each(['', '/coverage', '/map', '/lists/missed', '/sessions'])(
    'the page %j is as wide as the screen and free of serious faults',
    async (path) => {
      await manager.setViewportSize({ width: 360, height: 740 })
      const district = new URL(manager.url()).pathname.split('/').slice(0, 3).join('/')
      await manager.goto(district + path)

      const isTooWide = await manager.evaluate<boolean>(
        'document.documentElement.scrollWidth > document.documentElement.clientWidth',
      )
      await keepPicture(manager, `small${path.replaceAll('/', '-')}`)
      expect(isTooWide).toBe(false)
      expect(await seriousFaults(manager)).toEqual([])
    },
  )
})

/** Waits until the menu shows something else than it did. */
async function screenAfter(page: Page, shown: string): Promise<string> {
  const screen = page.locator('#screen', { hasText: /./ }).and(page.locator('#screen', { hasNotText: shown }))
  await screen.waitFor()
  return (await screen.textContent()) ?? ''
}

describe('the phone page', () => {
  test('carries the sign-in code to the manager, who types it in', async () => {
    const { page: phone } = await openPage(browser, address)
    const { page } = await openPage(browser, address)
    await phone.goto('/phone')
    await phone.getByLabel('Whose phone is it?').selectOption({ label: 'Edith Marlowe (+447700900004)' })

    await page.goto('/district')
    await page.getByLabel('Your phone number').fill('07700 900004')
    await page.getByRole('button', { name: 'Send me a code' }).click()
    const text = phone.locator('#texts li', { hasText: 'sign-in code' })
    await text.waitFor()
    const [code = ''] = /\d{6}/.exec((await text.textContent()) ?? '') ?? []
    await page.getByLabel('Code').fill(code)
    await page.getByRole('button', { name: 'Sign in' }).click()

    await page.getByRole('heading', { level: 1, name: 'Talamere' }).waitFor()
    expect(await page.getByText('Edith Marlowe').isVisible()).toBe(true)
  })

  test.each([
    ['vaccinator', 'HELP'],
    ['manager', 'COVER'],
    ['parent', 'HELP'],
  ])('answers a %s who texts %s', async (role, body) => {
    const { page, complaints: told } = await openPage(browser, address)
    await page.goto('/phone')
    const number = await page.locator(`option[data-role="${role}"]`).first().getAttribute('value')
    await page.getByLabel('Whose phone is it?').selectOption(number ?? '')
    await page.locator(`#texts[data-number="${number ?? ''}"]`).waitFor({ state: 'attached' })
    await page.getByRole('button', { name: body, exact: true }).click()
    const before = await page.locator('#texts li:not(.mine)').count()
    await page.getByRole('button', { name: 'Send text' }).click()
    await page.locator('#texts li:not(.mine)').nth(before).waitFor()
    await keepPicture(page, `phone-${role}`)

    expect(await page.locator('#texts li.mine').last().textContent()).toContain(body)
    expect(await seriousFaults(page)).toEqual([])
    expect(told).toEqual([])
  })

  test('dials the menu and goes on from screen to screen', async () => {
    const { page } = await openPage(browser, address)
    await page.goto('/phone')
    await page.getByRole('button', { name: /^Dial/ }).click()
    const first = await screenAfter(page, 'nothing yet')
    expect(first).toMatch(/1/)
    await page.getByLabel('Answer').fill('1')
    await page.getByRole('button', { name: 'Send answer' }).click()
    const second = await screenAfter(page, first)
    await keepPicture(page, 'phone-menu')

    expect(second).not.toContain(first)
  })
})
