import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import { z } from 'zod'
import { endToken, listTokens } from '../../app/tokens.ts'
import type { KeptToken } from '../../app/tokens.ts'
import { systemClock } from '../../platform/clock.ts'

/** `duebell tokens`: which tokens stand, and the end of one. */
export function addTokensCommand(program: Command): void {
  const tokens = program.command('tokens').description('Lists the tokens for the API, and ends them.')
  tokens
    .command('list')
    .description('Prints each token: identifier, name, role, district, last use and whether it still stands.')
    .action(async () => {
      const { withStore } = await import('../with-store.ts')
      await withStore(async ({ db }) => {
        for (const token of await listTokens(db))
          process.stdout.write(`${lineOf(token, systemClock.now())}\n`)
      })
    })
  tokens
    .command('revoke')
    .description('Ends a token at once, and every page session opened with it.')
    .argument('<id>', 'the identifier that `duebell tokens list` shows', identifier)
    .action(async (id: string) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        await store.transaction((tx) => endToken(tx, deps, id))
        process.stdout.write('The token is revoked.\n')
      })
    })
}

function lineOf(token: KeptToken, now: Date): string {
  const { id, name, role, district, lastUsedAt } = token
  const used = lastUsedAt === null ? 'never used' : `last used ${lastUsedAt.toISOString()}`
  return [id, name, role, district ?? 'every district', used, standing(token, now)].join('\t')
}

function standing({ expiresAt, revokedAt }: KeptToken, now: Date): string {
  if (revokedAt !== null) return `revoked ${revokedAt.toISOString()}`
  if (expiresAt === null) return 'does not end'
  return `${expiresAt > now ? 'ends' : 'ended'} ${expiresAt.toISOString()}`
}

function identifier(text: string): string {
  if (z.uuid().safeParse(text).success) return text
  throw new InvalidArgumentError('Write an identifier as `duebell tokens list` shows it.')
}
