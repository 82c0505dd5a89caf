import type { Command } from 'commander'
import { formatDay } from '../../core/days/day.ts'
import { systemClock } from '../../platform/clock.ts'

/** `duebell needs`: the vials each post needs for its next session and its month. */
export function addNeedsCommand(program: Command): void {
  program
    .command('needs')
    .description(
      'Vials each health post needs for its next session and its next month; docs/vials.md says how.',
    )
    .option('--district <name>', 'the district, where there are several')
    .action(printNeeds)
}

async function printNeeds(options: { readonly district?: string }): Promise<void> {
  const { withStore } = await import('../with-store.ts')
  const { openDeps, silentConveyor } = await import('../open-deps.ts')
  const { districtNamed } = await import('../../app/district-named.ts')
  const { needOfPost } = await import('../../app/supplies/session-need.ts')
  const { listHealthPosts } = await import('../../app/views.ts')
  const { csvText } = await import('../../app/csv-text.ts')
  await withStore(async (store) => {
    const deps = openDeps(store, systemClock, silentConveyor)
    const district = await districtNamed(store.db, options.district)
    const header =
      'post,session,vaccine,product,due,vials_low,vials,vials_high,vials_month,open,in_store,short'
    const rows: string[][] = []
    for (const post of await listHealthPosts(store.db, district.id)) {
      const { on, needs } = await needOfPost(store.db, deps, { district, post })
      for (const { vaccine, product, due, session, month, openVials, onHand, stock } of needs) {
        const counts = [due, session.low, session.expected, session.high, month.expected, openVials]
        rows.push([
          post.name,
          on === null ? '' : formatDay(on),
          vaccine,
          product.code,
          ...counts.map(String),
          onHand === null ? '' : String(onHand),
          stock === null ? '' : String(stock.shortfallVials),
        ])
      }
    }
    process.stdout.write(csvText([header.split(','), ...rows]))
  })
}
