import type { Command } from 'commander'
import { systemClock } from '../../platform/clock.ts'

interface Options {
  readonly district?: string
  readonly village?: string
}

/** `duebell due` and `duebell defaulters`: who is expected, and who has to be found, as CSV. */
export function addFollowListCommands(program: Command): void {
  addList(program, 'due', 'Children with a visit in the next two weeks, by village, as CSV.', 'due')
  addList(
    program,
    'defaulters',
    'Children who missed their last visit and have not come since, villages in an order to go round in, as CSV.',
    'missed',
  )
}

function addList(program: Command, name: string, about: string, list: 'due' | 'missed'): void {
  program
    .command(name)
    .description(about)
    .option('--district <name>', 'the district, where there are several')
    .option('--village <name>', 'only this village')
    .action((options: Options) => printList(list, options))
}

async function printList(list: 'due' | 'missed', options: Options): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { openDistrict, villageNamed } = await import('../../app/pages/district-scope.ts')
  const { followList } = await import('../../app/pages/follow-lists.ts')
  const { noteHandedOut } = await import('../../app/audit/note-handed-out.ts')
  const { listCsv } = await import('../../app/pages/list-file.ts')
  await withStore(async (store) => {
    const { id } = await districtNamed(store.db, options.district)
    const deps = openDeps(store, systemClock, silentConveyor)
    const scope = await openDistrict(deps, id)
    const village = options.village === undefined ? null : villageNamed(scope, options.village)
    const file = listCsv(await followList(scope, list, village?.id ?? null))
    await noteHandedOut(
      store.db,
      deps,
      {
        districtId: id,
        actor: 'duebell',
        act: 'download',
        subject: { kind: 'district', id },
        after: { list },
      },
      file,
    )
    process.stdout.write(file)
  })
}
