import { readFileSync } from 'node:fs'
import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import { stringify } from 'csv-stringify/sync'
import { Refusal } from '../../core/refusals.ts'
import type { ReminderPolicy } from '../../core/reminders/policy.ts'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly district?: string
  readonly days: number
}

/** `duebell try-policy FILE`: how many texts a reminder policy would send, beside the one in force. */
export function addTryPolicyCommand(program: Command): void {
  program
    .command('try-policy')
    .description(
      'Counts the texts that a reminder policy would send about the visits now planned, beside the policy in force, as CSV. Recalls are counted as if each visit were missed, advice as if each took place. Changes and sends nothing.',
    )
    .argument('<file>', 'a policy as JSON; src/data/policies/default.json is one')
    .option('--district <name>', 'the district, where there are several')
    .option('--days <n>', 'how many days ahead', wholeDays, 31)
    .action(async (file: string, { district, days }: Options) => {
      const policy = await policyIn(file)
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { districtNamed } = await import('../../app/district-named.ts')
      const { tryPolicy } = await import('../../app/try-policy.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const counts = await tryPolicy(deps, await districtNamed(store.db, district), policy, days)
        const rows = counts.map(({ kind, now, onTrial }) => [kind, now, onTrial])
        process.stdout.write(stringify([['kind', 'now', 'on_trial'], ...rows]))
      })
    })
}

async function policyIn(file: string): Promise<ReminderPolicy> {
  const { parseReminderPolicy } = await import('../../core/reminders/policy.ts')
  const checked = parseReminderPolicy(jsonIn(file))
  if (checked.kind === 'valid') return checked.value
  throw new Refusal('input-invalid', `${file} cannot be used. ${checked.problems.join('; ')}.`)
}

function jsonIn(file: string): unknown {
  try {
    return JSON.parse(readFileSync(file, 'utf8'))
  } catch {
    throw new Refusal('input-invalid', `${file} cannot be read as JSON.`)
  }
}

function wholeDays(text: string): number {
  const days = Number(text)
  if (Number.isInteger(days) && days >= 1 && days <= 366) return days
  throw new InvalidArgumentError('Write a number of days from 1 to 366.')
}
