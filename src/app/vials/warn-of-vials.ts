import type { District, Person } from '../../core/model.ts'
import { say } from '../../core/texts/phrases.ts'
import { unitsLeft } from '../../core/vials/open-vial.ts'
import type { VialWarningKind } from '../../core/vials/vial-warnings.ts'
import type { Vial } from '../../core/vials/vial.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { listPeople } from '../../store/people.ts'
import { findVial, listVialsToWarnOf, takeWarnings } from '../../store/vials.ts'
import type { Deps } from '../deps.ts'
import { bookFor } from '../shelf.ts'
import { queueText } from '../queue-text.ts'
import { untilInWords } from './until.ts'
import { vialNow } from './vial-shelf.ts'

const BATCH = 200

/** Tells posts of vials that run out of time, before it and when it is over. */
export async function warnOfVials(deps: Deps): Promise<void> {
  for (const id of await listVialsToWarnOf(deps.database.db, deps.clock.now(), BATCH))
    await deps.database.transaction((tx) => warn(tx, deps, id))
}

async function warn(tx: Transaction, deps: Deps, vialId: string): Promise<void> {
  const kind = await takeWarnings(tx, vialId, deps.clock.now())
  const vial = await findVial(tx, vialId)
  if (kind === undefined || vial === undefined) return
  const { open } = await vialNow(tx, deps.shelf, vial)
  if (vial.discardedAt !== null || unitsLeft(open) === 0) return
  const district = await getDistrict(tx, vial.districtId)
  for (const person of await staffOf(tx, vial)) {
    const body = warning(deps, { district, language: person.language }, vial, kind)
    // A vial that ends within its session cannot wait for office hours; one that ends after weeks can.
    const isUrgent = ['session-end', 'open-hours'].includes(vial.discardBy.because)
    await queueText(tx, deps, { district, person, body, isUrgent, purpose: 'alert' })
  }
}

/** The vaccinators of the vial's post; where it has none, whoever leads the district. */
async function staffOf(tx: Transaction, { districtId, postId }: Vial): Promise<readonly Person[]> {
  const people = await listPeople(tx, districtId)
  const own = people.filter((person) => person.role === 'vaccinator' && person.postId === postId)
  return own.length > 0 ? own : people.filter(({ role }) => role === 'manager')
}

function warning(
  deps: Deps,
  { district, language }: { readonly district: District; readonly language: string },
  { number, vaccine, discardBy }: Vial,
  kind: VialWarningKind,
): string {
  const book = bookFor(deps.shelf, district, language)
  const facts = { vial: String(number), vaccine }
  if (kind === 'time-up') return say(book, 'vial-past', facts)
  return say(book, 'vial-expiring', { ...facts, until: untilInWords(district, language, discardBy.at) })
}
