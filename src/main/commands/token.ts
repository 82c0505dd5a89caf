import { InvalidArgumentError, Option } from 'commander'
import type { Command } from 'commander'
import { makeToken } from '../../app/tokens.ts'
import type { TokenRole } from '../../app/tokens.ts'
import { listDistricts } from '../../app/views.ts'
import { TOKEN_ROLES } from '../../core/rights/token-role.ts'
import { Refusal } from '../../core/refusals.ts'
import { systemClock } from '../../platform/clock.ts'
import { newSecret } from '../../platform/ids.ts'

interface TokenOptions {
  readonly role: TokenRole
  readonly district?: string
  readonly days: number
}

const DAY_MS = 86_400_000

/** `duebell token NAME`: makes a bearer token and prints it once. */
export function addTokenCommand(program: Command): void {
  program
    .command('token')
    .description('Makes a bearer token for the API and prints it; it is shown this once and stored nowhere.')
    .argument('<name>', 'who or what will use it; stands beside everything done with it')
    .addOption(new Option('--role <role>', 'what it may do').choices(TOKEN_ROLES).makeOptionMandatory())
    .option('--district <name>', 'the only district it may enter; left out: every district')
    .option('--days <n>', 'days until it ends', wholeDays, 365)
    .action(async (name: string, options: TokenOptions) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const districtId =
          options.district === undefined ? null : await districtNamed(store, options.district)
        const expiresAt = new Date(deps.clock.now().getTime() + options.days * DAY_MS)
        const { secret } = await makeToken(deps, newSecret, {
          name,
          role: options.role,
          districtId,
          expiresAt,
        })
        process.stdout.write(`${secret}\n`)
      })
    })
}

function wholeDays(text: string): number {
  const days = Number(text)
  if (Number.isInteger(days) && days >= 1 && days <= 3650) return days
  throw new InvalidArgumentError('Write a number of days from 1 to 3650.')
}

async function districtNamed(
  store: { readonly db: Parameters<typeof listDistricts>[0] },
  name: string,
): Promise<string> {
  const districts = await listDistricts(store.db)
  const district = districts.find((each) => each.name.toLowerCase() === name.toLowerCase())
  if (district !== undefined) return district.id
  const known = districts.map((each) => each.name).join(', ')
  throw new Refusal(
    'district-not-found',
    `There is no district "${name}"; known are: ${known || 'none yet'}.`,
  )
}
