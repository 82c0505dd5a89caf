import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { chromium } from 'playwright-core'
import type { Browser, Page } from 'playwright-core'
import { findProgram } from '../../src/platform/embedded/commands.ts'

const QUIET = [
  '--headless',
  '--no-sandbox',
  '--disable-gpu',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
]

/** Opens the machine's Chromium with a profile of its own; it closes after the last test of the file. */
export async function openBrowser(): Promise<Browser> {
  const executablePath = await findProgram('chromium')
  if (executablePath === undefined)
    throw new Error('These tests need Chromium; install it or run scripts/test.')
  const browser = await chromium.launch({ executablePath, args: QUIET })
  afterAll(() => browser.close())
  return browser
}

/** A page and what its browser complained about: scripts that failed, content that the policy forbids. */
export interface WatchedPage {
  readonly page: Page
  readonly complaints: readonly string[]
}

/** Opens a page of its own cookies, as wide as asked. */
export async function openPage(browser: Browser, address: string, width = 1280): Promise<WatchedPage> {
  const context = await browser.newContext({ baseURL: address, viewport: { width, height: 900 } })
  const page = await context.newPage()
  const complaints: string[] = []
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text())
  })
  page.on('pageerror', (error) => complaints.push(error.message))
  return { page, complaints }
}

const AXE = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** Runs in the page, where axe-core has just put itself. */
const FIND_FAULTS = `axe.run(document, { resultTypes: ['violations'] }).then(({ violations }) =>
  violations
    .filter(({ impact }) => impact === 'serious' || impact === 'critical')
    .map(({ id, nodes }) => id + ': ' + nodes.map(({ target }) => target[0]).join(', ')))`

/** Faults of accessibility that axe-core calls serious or critical, each with where it is. */
export async function seriousFaults(page: Page): Promise<string[]> {
  await page.evaluate(AXE)
  return page.evaluate<string[]>(FIND_FAULTS)
}
