/** `npm run bench`: every ratio in one table; `-- --json`, `-- --only NAME`, `-- --size small|full`. */
import { parseArgs } from 'node:util'
import { forecastVsJson } from './forecast-vs-json.ts'
import { memoryGrowth } from './memory-growth.ts'
import { planGrowth } from './plan-growth.ts'
import { reportVsInsert } from './report-vs-insert.ts'
import { ussdVsHello } from './ussd-vs-hello.ts'
import type { Measurement } from './measurement.ts'
import { readVsRegex } from './read-vs-regex.ts'
import { smppVsRaw } from './smpp-vs-raw.ts'
import { simulateVisits } from './simulate-visits.ts'
import { sendVsPlain } from './send-vs-plain.ts'
import { onEmptyDatabase } from './on-empty-database.ts'
import { coverageFromSums, FULL_SIZE } from './coverage-from-sums.ts'
import { registerVsCopy } from './register-vs-copy.ts'

const { values } = parseArgs({
  options: {
    json: { type: 'boolean', default: false },
    only: { type: 'string' },
    size: { type: 'string', default: 'small' },
  },
})
const isFull = values.size === 'full'

/** What is measured, by the names of its lines. */
const BENCHES: readonly {
  readonly names: readonly string[]
  readonly run: () => Promise<readonly Measurement[]>
}[] = [
  { names: ['forecast-vs-json'], run: () => Promise.resolve([forecastVsJson()]) },
  { names: ['simulate-visits'], run: () => Promise.resolve([simulateVisits(isFull ? 20_000 : 1000)]) },
  { names: ['memory-growth'], run: async () => [await memoryGrowth(isFull ? 3 : 1)] },
  { names: ['plan-growth'], run: async () => [await planGrowth(isFull ? FULL_SIZE : 10_000)] },
  { names: ['read-vs-regex'], run: () => Promise.resolve([readVsRegex()]) },
  { names: ['smpp-vs-raw'], run: async () => [await smppVsRaw(isFull ? 20_000 : 4000)] },
  {
    names: ['send-vs-plain', 'send-vs-bare', 'redis-bytes-vs-plain'],
    run: () => onEmptyDatabase((database) => sendVsPlain(database, isFull ? 20_000 : 4000)),
  },
  {
    names: ['coverage-vs-count', 'recount-vs-count'],
    run: () => onEmptyDatabase((database) => coverageFromSums(database, isFull ? FULL_SIZE : 20_000)),
  },
  {
    names: ['report-vs-insert'],
    run: () => onEmptyDatabase(async (database) => [await reportVsInsert(database, isFull ? 20 : 5)]),
  },
  {
    names: ['ussd-vs-hello', 'ussd-p99-of-50'],
    run: () => onEmptyDatabase((database) => ussdVsHello(database, isFull ? 20 : 5)),
  },
  {
    names: ['import-vs-copy'],
    run: () => onEmptyDatabase(async (database) => [await registerVsCopy(database, isFull ? 100_000 : 5000)]),
  },
]

const wanted = BENCHES.filter(({ names }) => values.only === undefined || names.includes(values.only))
if (wanted.length === 0) {
  process.stderr.write(`There is no measurement ${values.only ?? ''}.\n`)
  process.exitCode = 2
}
const lines: Measurement[] = []
for (const { run } of wanted) {
  for (const line of await run()) {
    lines.push(line)
    process.stdout.write(`${values.json ? JSON.stringify(line) : tableLine(line)}\n`)
  }
}
if (lines.some((line) => line.ok === false)) process.exitCode = 1

function tableLine({ name, ours, baseline, ratio, bound, ok, n, unit, note }: Measurement): string {
  const figures = `${shown(ours)} : ${shown(baseline)} ${unit}, n ${n}`
  const verdict = ok === null ? '-  ' : ok ? 'ok ' : 'BAD'
  const told = note === undefined ? figures : `${figures}; ${note}`
  return `${name.padEnd(20)} ${shown(ratio).padStart(10)} (bound ${shown(bound)}) ${verdict}  ${told}`
}

function shown(value: number): string {
  return value >= 100 ? value.toFixed(0) : value.toPrecision(3)
}
