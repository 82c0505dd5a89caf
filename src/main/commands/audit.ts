import { InvalidArgumentError } from 'commander'
import type { Command } from 'commander'
import type { KnownHead } from '../../app/audit/verify-chain.ts'
import { systemClock } from '../../platform/clock.ts'

const TAMPERED = 1

/** `duebell audit`: the record of who saw or changed what. */
export function addAuditCommand(program: Command): void {
  const audit = program
    .command('audit')
    .description('Checks and shows the record of who saw or changed what.')
  audit
    .command('verify')
    .description('Says whether an entry of the record was altered or removed; exit code 1 where one was.')
    .option(
      '--head <head>',
      'a head printed before, kept away from the database; it must still be in the chain',
      head,
    )
    .action(async ({ head: known }: { readonly head?: KnownHead }) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { linkChanges } = await import('../../app/audit/link-changes.ts')
      const { verifyChain } = await import('../../app/audit/verify-chain.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        await linkChanges(deps)
        const verified = await verifyChain(deps, known ?? null)
        for (const { what, serial, changeId } of verified.found)
          process.stdout.write(`${what} ${serial ?? '-'} ${changeId ?? '-'}\n`)
        const at = verified.head === null ? 'none' : `${verified.head.serial}:${verified.head.chained}`
        process.stdout.write(`${verified.found.length} faults, head ${at}\n`)
        if (verified.found.length > 0) process.exitCode = TAMPERED
      })
    })
  audit
    .command('child')
    .description('Shows who saw or changed a child; showing is noted too.')
    .argument('<card>', 'the card number')
    .action(async (card: string) => {
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      const { showRecordOf } = await import('../../app/audit/show-record.ts')
      await withStore(async (store) => {
        const entries = await showRecordOf(openDeps(store, systemClock, silentConveyor), card)
        for (const { happenedAt, actor, act, subjectKind, after } of entries)
          process.stdout.write(
            `${happenedAt.toISOString()}\t${actor}\t${act}\t${subjectKind}\t${JSON.stringify(after ?? {})}\n`,
          )
      })
    })
}

function head(text: string): KnownHead {
  const [, serial, chained] = /^(\d+):([0-9a-f]{64})$/.exec(text) ?? []
  if (serial !== undefined && chained !== undefined) return { serial: BigInt(serial), chained }
  throw new InvalidArgumentError('Write it as it was printed: NUMBER:DIGEST.')
}
