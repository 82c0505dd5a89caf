/** A national list of facilities against the posts of a district: differences are asked, never taken unasked. */
import { parse } from 'csv-parse/sync'
import { z } from 'zod'
import { compareFacilities } from '../../core/places/facility-list.ts'
import type { ListedFacility } from '../../core/places/facility-list.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict, listHealthPosts } from '../../store/districts.ts'
import { decideDifference, dropOutdated, findDifference, keepDifferences } from '../../store/posts.ts'
import type { KeptDifference } from '../../store/posts.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { addPost, setPost } from './set-post.ts'

const line = z.object({ national_id: z.string().trim().min(1), name: z.string().trim().min(1) })

export interface ListTaken {
  readonly facilities: number
  /** Differences that were not known before. */
  readonly asked: number
  /** What could not be read or is said twice, for a person to look at. */
  readonly odd: readonly string[]
}

/**
 * Takes the list of a district as CSV with the columns `national_id` and `name`. The same list again asks nothing new.
 * @throws {Refusal} district-not-found, facility-list-unreadable
 */
export async function takeFacilityList(
  tx: Transaction,
  deps: Deps,
  { districtId, csv, by }: { readonly districtId: string; readonly csv: string; readonly by: string },
): Promise<ListTaken> {
  await getDistrict(tx, districtId)
  const { listed, unreadable } = readList(csv)
  const { differences, odd } = compareFacilities(listed, await listHealthPosts(tx, districtId))
  await dropOutdated(tx, districtId, differences)
  const foundAt = deps.clock.now()
  const found = differences.map((each) => ({ ...each, id: deps.newId(), districtId, foundAt }))
  const taken = { facilities: listed.length, asked: await keepDifferences(tx, found) }
  const subject = { kind: 'district', id: districtId }
  await noteChange(tx, deps, { districtId, actor: by, act: 'take-facility-list', subject, after: taken })
  const twice = odd.map((nationalId) => `${nationalId} stands for several names`)
  return { ...taken, odd: [...unreadable, ...twice] }
}

/** @throws {Refusal} facility-list-unreadable */
function readList(csv: string): { readonly listed: ListedFacility[]; readonly unreadable: string[] } {
  const listed: ListedFacility[] = []
  const unreadable: string[] = []
  for (const [place, row] of rowsOf(csv).entries()) {
    const read = line.safeParse(row)
    if (read.success) listed.push({ nationalId: read.data.national_id, name: read.data.name })
    else unreadable.push(`facility ${place + 1} lacks its national_id or name`)
  }
  if (listed.length > 0) return { listed, unreadable }
  throw new Refusal(
    'facility-list-unreadable',
    'Send a CSV file whose first line is national_id,name and whose other lines are facilities.',
  )
}

function rowsOf(csv: string): unknown[] {
  try {
    return parse(csv, { columns: true, bom: true, skip_empty_lines: true, relax_column_count: true })
  } catch {
    return []
  }
}

export interface Decision {
  readonly districtId: string
  readonly differenceId: string
  readonly isAccepted: boolean
  readonly by: string
}

/**
 * Takes a difference over or leaves things as they are; either way it is not asked again.
 * @throws {Refusal} difference-not-found, difference-decided, post-taken
 */
export async function decideOnDifference(tx: Transaction, deps: Deps, decision: Decision): Promise<void> {
  const { districtId, differenceId, isAccepted, by } = decision
  const difference = await findDifference(tx, differenceId)
  if (difference?.districtId !== districtId)
    throw new Refusal('difference-not-found', 'There is no such difference; look at the list again.')
  const isFirst = await decideDifference(tx, differenceId, { isAccepted, by, at: deps.clock.now() })
  if (!isFirst) throw new Refusal('difference-decided', 'This was decided before; look at the list again.')
  if (isAccepted) await takeOver(tx, deps, difference, by)
}

async function takeOver(tx: Transaction, deps: Deps, difference: KeptDifference, by: string): Promise<void> {
  const { districtId, nationalId, name } = difference
  switch (difference.kind) {
    case 'new':
      await addPost(tx, deps, {
        districtId,
        by,
        name: difference.name,
        nationalId,
        kind: 'permanent',
        untilOn: null,
      })
      return
    case 'renamed':
    case 'same-name':
      await setPost(tx, deps, {
        districtId,
        by,
        postId: difference.postId,
        change: { nationalId, ...(name === null ? {} : { name }) },
      })
      return
    case 'not-listed':
      // The post and its records stay; what is taken over is that it has no national number any more.
      await setPost(tx, deps, { districtId, by, postId: difference.postId, change: { nationalId: null } })
  }
}
