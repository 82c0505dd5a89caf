import { readFileSync } from 'node:fs'
import type { Command } from 'commander'
import type { z } from 'zod'
import { districtFile } from '../../app/district-file.ts'
import { loadDistrict } from '../../app/load-district.ts'
import { checkData } from '../../core/checked-data.ts'
import { Refusal } from '../../core/refusals.ts'
import { systemClock } from '../../platform/clock.ts'

/** `duebell load-district FILE`: makes a district equal to its file. */
export function addLoadDistrictCommand(program: Command): void {
  program
    .command('load-district')
    .description(
      'Loads a district with its posts, villages and people; loading the same file again changes nothing.',
    )
    .argument('<file>', 'JSON: {"district", "posts", "villages", "areas", "people"}, see docs/operations.md')
    .action(async (file: string) => {
      const district = readDistrictFile(file)
      const { withStore } = await import('../with-store.ts')
      const { openDeps, silentConveyor } = await import('../open-deps.ts')
      await withStore(async (store) => {
        const deps = openDeps(store, systemClock, silentConveyor)
        const loaded = await store.transaction((tx) => loadDistrict(tx, deps, district))
        const { posts, villages, people } = loaded
        process.stdout.write(
          `${loaded.district.name}: ${posts} posts, ${villages} villages, ${people} people\n`,
        )
      })
    })
}

/** @throws {Refusal} input-invalid, listing everything that is wrong */
function readDistrictFile(file: string): z.output<typeof districtFile> {
  const checked = checkData(districtFile, readJson(file))
  if (checked.kind === 'valid') return checked.value
  throw new Refusal('input-invalid', `${file} is not a district file.\n${checked.problems.join('\n')}`)
}

function readJson(file: string): unknown {
  try {
    const data: unknown = JSON.parse(readFileSync(file, 'utf8'))
    return data
  } catch (cause) {
    throw new Refusal('input-invalid', `${file} cannot be read as JSON: ${String(cause)}`, { cause })
  }
}
