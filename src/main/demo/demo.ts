import { importRegister } from '../../app/import-register.ts'
import type { RegisterLine } from '../../app/import-register.ts'
import { reportCoverage } from '../../app/report-coverage.ts'
import { listVillages } from '../../app/views.ts'
import { sessionsOf } from '../../app/sessions-of.ts'
import { policyOf, scheduleOf } from '../../app/shelf.ts'
import { makeSignInLink } from '../../app/pages/sign-in.ts'
import { districtFile } from '../../app/district-file.ts'
import { loadDistrict } from '../../app/load-district.ts'
import type { DistrictFile } from '../../app/district-file.ts'
import { addDays, mustParseDay } from '../../core/days/day.ts'
import { instantOf } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { pagesRouter } from '../../http/pages/pages-router.ts'
import { phoneRouter } from '../../http/pages/phone.ts'
import { buildServer } from '../../http/server.ts'
import { systemClock } from '../../platform/clock.ts'
import { readConfig } from '../../platform/config.ts'
import type { Config } from '../../platform/config.ts'
import { readDataFile } from '../../platform/data-files.ts'
import { newCode, newSecret } from '../../platform/ids.ts'
import { openPostgres } from '../../platform/embedded/servers.ts'
import { openLifecycle, stopRequested } from '../../platform/lifecycle.ts'
import type { Lifecycle } from '../../platform/lifecycle.ts'
import { makeThrowawayDatabase } from '../../platform/throwaway-database.ts'
import { listen } from '../listen.ts'
import { openHandset } from '../open-gateway.ts'
import { openPhoneBench } from '../phone-bench.ts'
import { startService } from '../service.ts'
import type { Service } from '../service.ts'
import { startRounds } from '../rounds.ts'
import { USSD_CODE } from '../serve.ts'
import { phonesOfService } from '../try-out-phones.ts'
import { VERSION } from '../version.ts'
import { openStore } from '../with-store.ts'
import type { Store } from '../with-store.ts'
import { seededChance } from '../../core/chance.ts'
import { coverageTable } from './print-coverage.ts'
import { openNarrator } from './narrator.ts'
import { registerLines } from './register-lines.ts'
import { inventChildren } from './scenario.ts'
import type { DemoChild, DemoVillage } from './scenario.ts'
import { storyClock } from './story-clock.ts'
import { liveThrough } from './story.ts'

export interface DemoOptions {
  /** True: ends after the story instead of serving the pages. */
  readonly isOnce: boolean
  readonly print: (line: string) => void
}

const SEED = 20_260_302
const START = mustParseDay('2026-03-02')
const DAYS = 28
const CONCURRENCY = 6
const HISTORY_DAYS = 740
const HARD_TO_REACH: ReadonlySet<string> = new Set(['Dunmarra', 'Ilhavel', 'Vellenau'])

/** Plays the story of some weeks in an invented district on the real parts, then serves the pages. */
export async function demo(
  environment: Readonly<Record<string, string | undefined>>,
  options: DemoOptions,
): Promise<void> {
  const config = readConfig(environment)
  const lifecycle = openLifecycle(config.stopTimeoutMs)
  const asked = stopRequested()
  try {
    const play = stage(config, lifecycle, options)
    await Promise.race([play, asked])
    if (!options.isOnce) await asked
  } finally {
    await lifecycle.stop()
  }
}

async function stage(config: Config, lifecycle: Lifecycle, { isOnce, print }: DemoOptions): Promise<void> {
  const file = districtFile.parse(readDataFile('demo/district.json'))
  const clock = storyClock(instantOf({ day: START, minute: 0 }, file.district.timeZone), systemClock)
  const store = await openThrowawayStore(config, lifecycle)
  const handset = openHandset(clock, store.log)
  const service = await startService({
    store,
    lifecycle,
    clock,
    gateway: handset,
    concurrency: CONCURRENCY,
  })
  const { deps } = service

  const { district } = await deps.database.transaction((tx) => loadDistrict(tx, deps, file))
  const schedule = scheduleOf(deps.shelf, district.scheduleCode)
  const villages = await demoVillages(service, district)
  const chance = seededChance(SEED)
  const children = inventChildren(villages, schedule, START, chance)
  print(
    `${district.name}, an invented district: ${villages.length} villages, ${file.posts.length} health posts.`,
  )
  await takeOverRegister(service, district, registerLines(children), print)
  await service.closeDay()
  print('Every child has its next visit. Four weeks begin; > is a text to a phone, < a text from one.\n')

  const narrator = openNarrator({ print, ...castOf(children, file) })
  handset.onDelivered(({ to, body }) => {
    narrator.textTo(to, body)
  })
  const [vaccinatorOf, manager] = [vaccinators(file), managerOf(file)]
  const people = { villages, children, vaccinatorOf, manager }
  await liveThrough({ service, handset, clock, district, ...people, chance, narrator }, START, DAYS)

  await tellCoverage(service, district, print)
  if (isOnce) return

  clock.resume()
  startRounds(service, lifecycle)
  const bench = openPhoneBench({
    handset,
    clock,
    phones: () => phonesOfService(deps),
    whenIdle: service.whenIdle,
    code: USSD_CODE,
  })
  const pages = [pagesRouter(deps, { newSecret, newCode }), phoneRouter(bench)]
  const app = buildServer({ deps, version: VERSION, receivers: new Map(), pages })
  const address = await listen(app, { host: config.httpHost, port: config.httpPort, lifecycle })
  const link = await makeSignInLink(deps, { newSecret }, manager)
  print(`\nThe district:     ${address}${link}`)
  print(`                  (lets you in once; afterwards a code comes to the manager's phone)`)
  print(`Try a phone:      ${address}/phone\nThe API:          ${address}/docs\nStop with Ctrl-C.`)
}

async function tellCoverage(
  { deps }: Service,
  district: District,
  print: (line: string) => void,
): Promise<void> {
  print('\nCoverage by village, doses given in the twelve months to 31 March 2026, over the yearly target:\n')
  const window = {
    kind: 'period',
    fromOn: mustParseDay('2025-04-01'),
    toOn: mustParseDay('2026-03-31'),
  } as const
  const question = {
    districtId: district.id,
    window,
    byAge: 'any',
    measure: 'crude',
    denominator: 'administrative',
  } as const
  const report = await reportCoverage(deps.database.db, deps.shelf, question)
  for (const line of coverageTable(report)) print(line)
}

/** A database of its own, dropped at the end: the demo never touches what is there. */
async function openThrowawayStore(config: Config, lifecycle: Lifecycle): Promise<Store> {
  const report = (line: string): void => void process.stderr.write(`${line}\n`)
  const server = await openPostgres({
    url: config.databaseUrl,
    dataFolder: config.dataFolder,
    isThrowaway: false,
    report,
  })
  lifecycle.onStop('Postgres', server.close)
  const name = `duebell_demo_${process.pid}`
  const database = await makeThrowawayDatabase(server.url, name)
  lifecycle.onStop('the demo database', database.drop)
  const own = {
    ...config,
    databaseUrl: database.url,
    queuePrefix: name.replaceAll('_', '-'),
    logLevel: 'warn' as const,
  }
  return openStore(own, lifecycle)
}

async function demoVillages({ deps }: Service, district: District): Promise<DemoVillage[]> {
  const policy = policyOf(deps.shelf, district.reminderPolicy)
  const villages = await listVillages(deps.database.db, district.id)
  return villages.map((village) => ({
    name: village.name,
    birthsAYear: ((village.population ?? 0) * (village.birthsPer1000 ?? 0)) / 1000,
    isHardToReach: HARD_TO_REACH.has(village.name),
    sessions: sessionsOf(village, addDays(START, -HISTORY_DAYS), {
      ...policy,
      horizonDays: HISTORY_DAYS + DAYS,
    }),
  }))
}

async function takeOverRegister(
  { deps }: Service,
  district: District,
  lines: AsyncIterable<RegisterLine>,
  print: (line: string) => void,
): Promise<void> {
  const order = {
    districtId: district.id,
    by: 'demo',
    isDryRun: false,
    onProblem: (problem: { readonly line: number; readonly advice: string }) => {
      print(`line ${problem.line}: ${problem.advice}`)
    },
    onProgress: () => undefined,
  }
  const { enrolled, doses } = await importRegister(deps, order, lines)
  print(`Its paper register is taken over: ${enrolled} children, ${doses} doses of two years.`)
}

/** Three families whose texts are told in full, one of each habit, and what everyone is called. */
function castOf(children: readonly DemoChild[], file: DistrictFile) {
  const habits = ['steady', 'forgetful', 'absent'] as const
  const heroes = habits.flatMap(
    (habit) => children.find((child) => child.habit === habit && hasVisitSoon(child)) ?? [],
  )
  const families = children.flatMap(({ phone, name, habit }) =>
    phone === null ? [] : [[phone, `parent of ${name.split(' ')[0] ?? ''} (${habit})`] as const],
  )
  const workers = (file.people ?? []).map(({ phone, name, role }) => [phone, `${role} ${name}`] as const)
  return {
    people: new Map([...families, ...workers]),
    heroes: new Set(heroes.map((child) => child.phone ?? '')),
    workers: new Set((file.people ?? []).map(({ phone }) => phone)),
  }
}

/** At six weeks of age within the first days of the story. */
function hasVisitSoon({ phone, birthOn }: DemoChild): boolean {
  const age = START - birthOn
  return phone !== null && age >= 34 && age <= 44
}

/** The phone of a manager of the district. */
function managerOf({ people = [] }: DistrictFile): string {
  const manager = people.find(({ role }) => role === 'manager')
  if (manager === undefined) throw new Error('the demo district has no manager')
  return manager.phone
}

function vaccinators(file: DistrictFile): ReadonlyMap<string, string> {
  const byPost = new Map(
    (file.people ?? []).flatMap(({ role, post, phone }) =>
      role === 'vaccinator' && post !== null ? [[post, phone] as const] : [],
    ),
  )
  return new Map(file.villages.flatMap(({ name, post }) => [[name, byPost.get(post) ?? '']]))
}
