import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import type { AvailabilityReport } from '../../app/report-availability.ts'
import type { Availability } from '../../core/operation/availability.ts'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly days: number
  readonly json: boolean
}

/** `duebell availability`: how much of the time the service worked, and when it did not. */
export function addAvailabilityCommand(program: Command): void {
  program
    .command('availability')
    .description(
      'In how many minutes of the last days the service and each of its roles worked, against PROMISED_AVAILABILITY, and when it did not; counted from the heartbeats of its processes.',
    )
    .option('--days <n>', 'how many days back, 400 at most', wholeDays, 30)
    .option('--json', 'one JSON object', false)
    .action(async ({ days, json }: Options) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { reportAvailability } = await import('../../app/report-availability.ts')
      await withStore(async (store) => {
        const report = await reportAvailability(openDeps(store, systemClock, silentConveyor), days)
        const promised = store.config.promisedAvailability
        process.stdout.write(json ? asJson(report, promised) : asText(report, promised))
      })
    })
}

function wholeDays(text: string): number {
  const days = Number(text)
  if (Number.isInteger(days) && days >= 1 && days <= 400) return days
  throw new InvalidArgumentError('Write a number of days from 1 to 400.')
}

function asText({ from, to, service, byRole }: AvailabilityReport, promised: number): string {
  const verdict =
    service.ratio === null ? 'nothing counted yet' : isKept(service, promised) ? 'kept' : 'not kept'
  return [
    `from ${minuteText(from)} to ${minuteText(to)} UTC`,
    `${'service'.padEnd(10)}${shareText(service)}; promised ${promised} %: ${verdict}`,
    ...[...byRole].map(([role, each]) => `${role.padEnd(10)}${shareText(each)}`),
    ...service.pauses.map(
      ({ fromMs, minutes }) => `${'pause'.padEnd(10)}${minuteText(new Date(fromMs))} UTC, ${minutes} min`,
    ),
    '',
  ].join('\n')
}

function shareText({ ratio, upMinutes, expectedMinutes }: Availability): string {
  // Rounded down: what is not quite kept is not shown as kept.
  const percent = ratio === null ? '-' : (Math.floor(ratio * 100_000) / 1000).toFixed(3)
  return `${percent} % of the time, ${upMinutes} of ${expectedMinutes} min`
}

const isKept = ({ ratio }: Availability, promised: number): boolean =>
  ratio !== null && ratio * 100 >= promised
const minuteText = (at: Date): string => at.toISOString().slice(0, 16).replace('T', ' ')

function asJson({ from, to, service, byRole }: AvailabilityReport, promised: number): string {
  const roles = Object.fromEntries(byRole)
  return `${JSON.stringify({ from, to, promisedPercent: promised, isKept: isKept(service, promised), service, roles })}\n`
}
