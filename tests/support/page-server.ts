import { Readable } from 'node:stream'
import { importRegister } from '../../src/app/import-register.ts'
import { districtFile } from '../../src/app/district-file.ts'
import { loadDistrict } from '../../src/app/load-district.ts'
import { csvLines } from '../../src/app/register-lines.ts'
import type { Deps } from '../../src/app/deps.ts'
import { pagesRouter } from '../../src/http/pages/pages-router.ts'
import { buildServer } from '../../src/http/server.ts'
import { listen } from '../../src/main/listen.ts'
import { newCode, newSecret } from '../../src/platform/ids.ts'
import { openLifecycle } from '../../src/platform/lifecycle.ts'
import type { Schedule } from '../../src/core/schedule/schedule.ts'
import { fixedClock } from './fixed-clock.ts'
import type { FixedClock } from './fixed-clock.ts'
import { openTestDatabase, openTestPool } from './test-database.ts'
import type { TestDatabase } from './test-database.ts'
import { testDeps } from './test-deps.ts'

/** What a browser is shown. */
export interface PageReply {
  readonly status: number
  readonly text: string
  readonly headers: Headers
  /** Where it is sent on to; empty where it stays. */
  readonly location: string
}

/** Someone at a browser: keeps cookies, follows no redirect by itself. */
export interface PageVisitor {
  readonly get: (path: string) => Promise<PageReply>
  readonly post: (
    path: string,
    fields: Readonly<Record<string, string>>,
    headers?: Readonly<Record<string, string>>,
  ) => Promise<PageReply>
  /** As the browser would send it; empty before signing in. */
  readonly cookie: () => string
}

export interface PageServer {
  readonly clock: FixedClock
  readonly database: TestDatabase
  readonly deps: Deps
  readonly address: string
  readonly visitor: () => PageVisitor
}

const STOP_TIMEOUT_MS = 10_000

/** Serves the pages on a database of their own, read where `replicaOf` says; stops after the last test of the file. */
export async function openPageServer(
  now: string,
  schedules: readonly Schedule[] = [],
  replicaOf?: (url: string) => string,
): Promise<PageServer> {
  const clock = fixedClock(now)
  const lifecycle = openLifecycle(STOP_TIMEOUT_MS)
  const database = await openTestDatabase()
  afterAll(() => lifecycle.stop())
  const reading = replicaOf === undefined ? database : await openTestPool(replicaOf(database.url))
  lifecycle.onStop('the replica', replicaOf === undefined ? () => Promise.resolve() : reading.close)
  const deps = testDeps({ ...database, reading: reading.db }, clock, schedules)
  const pages = [pagesRouter(deps, { newSecret, newCode })]
  const app = buildServer({ deps, version: '0.0.0', receivers: new Map(), pages })
  const address = await listen(app, { host: '127.0.0.1', port: 0, lifecycle })
  return { clock, database, deps, address, visitor: () => pageVisitor(address) }
}

/** A browser without cookies yet. */
export function pageVisitor(address: string): PageVisitor {
  let cookie = ''
  async function send(path: string, request: RequestInit): Promise<PageReply> {
    const headers = { ...(request.headers as Record<string, string> | undefined), cookie }
    const response = await fetch(`${address}${path}`, { ...request, headers, redirect: 'manual' })
    const [set] = response.headers.getSetCookie()
    if (set !== undefined) cookie = set.split(';')[0] ?? ''
    const location = response.headers.get('location') ?? ''
    return { status: response.status, text: await response.text(), headers: response.headers, location }
  }
  return {
    get: (path) => send(path, {}),
    post: (path, fields, headers = {}) =>
      send(path, {
        method: 'POST',
        headers: { 'content-type': 'application/x-www-form-urlencoded', ...headers },
        body: new URLSearchParams(fields).toString(),
      }),
    cookie: () => cookie,
  }
}

/** The value of a hidden field of a page. */
export function fieldOf({ text }: PageReply, name: string): string {
  const [, value] = new RegExp(`name="${name}" value="([^"]*)"`).exec(text) ?? []
  if (value === undefined) throw new Error(`the page has no field ${name}`)
  return value
}

/** One part of the query of an address. */
export function queryOf(location: string, name: string): string {
  return new URLSearchParams(location.split('?')[1]).get(name) ?? ''
}

/** Loads a district as its file says. */
export async function loadTestDistrict({ database, deps }: PageServer, file: unknown) {
  return (await database.transaction((tx) => loadDistrict(tx, deps, districtFile.parse(file)))).district
}

/** Takes a register over; a bad line is a fault of the test. */
export async function takeRegister(
  { deps }: Pick<PageServer, 'deps'>,
  districtId: string,
  register: string,
): Promise<void> {
  const order = {
    districtId,
    by: 'test',
    isDryRun: false,
    onProblem: (problem: unknown) => {
      throw new Error(JSON.stringify(problem))
    },
    onProgress: () => undefined,
  }
  await importRegister(deps, order, csvLines(Readable.from([register])))
}
