import type { Day } from '../../core/days/day.ts'
import type { District } from '../../core/model.ts'
import { doseFlags, givenBetween } from '../../core/vials/dose-flags.ts'
import type { DoseFlag, GivenBetween } from '../../core/vials/dose-flags.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import { useFor } from '../../core/vials/product.ts'
import type { Transaction } from '../../store/database.ts'
import { hold } from '../../store/hold.ts'
import { listVialsOpenBetween } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { findVialTyped } from './view-vial.ts'
import { vialNow, vialsNow } from './vial-shelf.ts'
import type { VialNow } from './vial-shelf.ts'

/** Where a dose came from, and what a manager should look at. */
export interface Draw {
  readonly vialId: string | null
  /** As it was written, or of the only vial that was open. */
  readonly vialNumber: number | null
  readonly isAssumed: boolean
  readonly flags: readonly (DoseFlag | 'vial-unknown' | 'no-vial')[]
}

export interface DrawQuestion {
  readonly district: District
  readonly postId: string | null
  readonly givenOn: Day
  /** The hour, where it was told. */
  readonly givenMinute?: number | null
  readonly vaccines: readonly string[]
  /** The number that was typed. */
  readonly vial: string | null
}

const NO_VIAL: Draw = { vialId: null, vialNumber: null, isAssumed: false, flags: ['no-vial'] }

/**
 * From which vial each dose of a visit was drawn: the one named, for the vaccines it holds; else the only one open
 * at the post. Doses are flagged, never refused, and judged by when they were given.
 */
export async function drawDoses(
  tx: Transaction,
  deps: Deps,
  question: DrawQuestion,
): Promise<ReadonlyMap<string, Draw>> {
  const { district, givenOn, givenMinute = null, vaccines } = question
  const given = givenBetween(givenOn, givenMinute, district.timeZone)
  const named = await namedVial(tx, deps, question)
  const isFor = (vaccine: string): boolean =>
    named !== undefined && useFor(named.open.product, vaccine) !== undefined
  const hasOwn = vaccines.some(isFor)
  const draws = new Map<string, Draw>()
  for (const vaccine of vaccines) {
    if (named !== undefined && (isFor(vaccine) || !hasOwn)) draws.set(vaccine, drawn(named, vaccine, given))
    else draws.set(vaccine, await onlyOpen(tx, deps, { ...question, given }, vaccine))
  }
  // A number nobody knows: the doses stand, and a manager looks.
  if (question.vial !== null && named === undefined)
    for (const [vaccine, draw] of draws)
      draws.set(vaccine, { ...draw, vialId: null, isAssumed: false, flags: ['vial-unknown'] })
  return draws
}

async function namedVial(
  tx: Transaction,
  deps: Deps,
  { district, vial }: DrawQuestion,
): Promise<VialNow | undefined> {
  const found = vial === null ? undefined : await findVialTyped(tx, district.id, vial)
  if (found === undefined) return undefined
  // Two who draw from one vial at once must see each other's doses.
  await hold(tx, [`vial ${found.id}`])
  return vialNow(tx, deps.shelf, found)
}

function drawn({ vial, open }: VialNow, vaccine: string, given: GivenBetween): Draw {
  return {
    vialId: vial.id,
    vialNumber: vial.number,
    isAssumed: false,
    flags: doseFlags(vaccine, given, open),
  }
}

async function onlyOpen(
  tx: Transaction,
  deps: Deps,
  { district, postId, given }: DrawQuestion & { readonly given: GivenBetween },
  vaccine: string,
): Promise<Draw> {
  if (postId === null) return NO_VIAL
  const { earliest: from, latest: until } = given
  const vials = await listVialsOpenBetween(tx, { districtId: district.id, postId, from, until })
  const fitting = (await vialsNow(tx, deps.shelf, vials)).filter(({ open }) => {
    const use = useFor(open.product, vaccine)
    return use !== undefined && unitsLeft(open) >= use.unitsPerDose
  })
  const [only, ...others] = fitting
  if (only === undefined || others.length > 0) return NO_VIAL
  return { vialId: only.vial.id, vialNumber: only.vial.number, isAssumed: true, flags: [] }
}
