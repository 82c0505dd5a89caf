import { Option } from 'commander'
import type { Command } from 'commander'
import { ERASE_ASKERS, ERASE_REASONS } from '../../app/privacy/erase-child.ts'
import type { Erasure } from '../../app/privacy/erase-child.ts'
import { systemClock } from '../../platform/clock.ts'

/** `duebell erase CARD`: removes who a child was. */
export function addEraseCommand(program: Command): void {
  program
    .command('erase')
    .description(
      'Removes for good who a child was, as its family asked: names, phones, words and texts. Doses, birth, sex and village stay without a name, so that figures stay as they were.',
    )
    .argument('<card>', 'the card number')
    .addOption(new Option('--reason <reason>', 'why').choices(ERASE_REASONS).makeOptionMandatory())
    .addOption(new Option('--asked-by <who>', 'who asked').choices(ERASE_ASKERS).makeOptionMandatory())
    .requiredOption('--yes', 'it cannot be undone')
    .action(eraseByCard)
}

async function eraseByCard(card: string, given: Pick<Erasure, 'reason' | 'askedBy'>): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { eraseChild } = await import('../../app/privacy/erase-child.ts')
  const { searchErased } = await import('../../app/privacy/search-erased.ts')
  const { childWithCard } = await import('../../app/audit/show-record.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const { reason, askedBy } = given
    const erased = await store.transaction(async (tx) => {
      const { id } = await childWithCard(tx, card)
      return eraseChild(tx, deps, { childId: id, reason, askedBy, by: 'duebell' })
    })
    const found = await searchErased(deps)
    process.stdout.write(
      `erased: ${erased.records} records, ${erased.texts + found} texts, ${erased.numbers} phone numbers\n`,
    )
  })
}
