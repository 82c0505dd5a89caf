import type { Command } from 'commander'

/** `duebell keys`: the keys under which names, numbers and texts are sealed. */
export function addKeysCommand(program: Command): void {
  const keys = program
    .command('keys')
    .description('Makes and changes the keys that seal names, numbers and texts.')
  keys
    .command('new')
    .description(
      'Puts a new key before those of a file, or into a new file; the service seals with it from its next start.',
    )
    .argument('<file>', 'the file that SEALING_KEYS_FILE names')
    .action(async (file: string) => {
      const { addKey } = await import('../../platform/key-file.ts')
      await addKey(file)
      process.stdout.write(
        `A new key stands first in ${file}. Keep a copy of the file away from the database.\n`,
      )
    })
  keys
    .command('rotate')
    .description(
      'Seals again, under the first key of the file, all that is sealed under another; stopped halfway, it goes on when called again.',
    )
    .action(async () => {
      const { withStore } = await import('../with-store.ts')
      const { reseal } = await import('../../store/sealing/reseal.ts')
      await withStore(async ({ pool, vault }) => {
        const rows = await reseal(pool, vault)
        process.stdout.write(
          `${rows} rows sealed again with the key ${vault.keyIds[0]}; the other keys of the file are no longer needed.\n`,
        )
      })
    })
}
