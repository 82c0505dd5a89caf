/** `npm run chaos`: one line of JSON a scenario; `-- --only NAME`, `-- --reminders N`, `-- --short`. */
import { parseArgs } from 'node:util'
import { startOwnServers } from './own-servers.ts'
import { SCENARIOS } from './scenarios.ts'

/** What every run of the tests goes through, in a minute or so. */
const SHORT: readonly string[] = [
  'workers-killed-http',
  'workers-killed-smpp',
  'redis-emptied',
  'postgres-restarted',
  'smsc-silent',
  'planners-and-workers-race',
]

const { values } = parseArgs({
  options: {
    only: { type: 'string', multiple: true },
    reminders: { type: 'string', default: '20000' },
    short: { type: 'boolean', default: false },
  },
})
const names = values.only ?? (values.short ? SHORT : undefined)
const wanted = SCENARIOS.filter(({ name }) => names?.includes(name) ?? true)
if (wanted.length === 0) {
  process.stderr.write(
    `There is no such scenario; there are ${SCENARIOS.map(({ name }) => name).join(', ')}.\n`,
  )
  process.exit(2)
}

const servers = await startOwnServers()
try {
  for (const { run } of wanted) {
    const { ok, ...outcome } = await run({
      servers,
      reminders: Number(values.reminders),
      isShort: values.short,
    })
    process.stdout.write(`${JSON.stringify(outcome)}\n`)
    if (!ok) process.exitCode = 1
  }
} finally {
  await servers.stop()
}
