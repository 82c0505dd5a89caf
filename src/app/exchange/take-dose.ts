import type { StatedDose } from '../../core/exchange/immunization-in.ts'
import { stands } from '../../core/exchange/statement-order.ts'
import type { Transaction } from '../../store/database.ts'
import { findStatement, putStatement } from '../../store/stated-doses.ts'
import type { DoseStatement } from '../../store/stated-doses.ts'
import type { Deps } from '../deps.ts'
import type { ExchangeScope, Taken } from './scope.ts'
import { settleDose } from './settle-doses.ts'

/** The child a statement is about, by a number, and by our identifier where it is known. */
export interface ChildMeant {
  readonly issuer: string
  readonly number: string
  readonly childId: string | null
}

/** Doses that their register does not number are known by child, code and day. */
const UNNUMBERED = 'urn:duebell:by-child-code-and-day'

/** Keeps what another register says of a dose, and settles every dose it bears on. */
export async function takeDose(
  tx: Transaction,
  deps: Deps,
  scope: ExchangeScope,
  { stated, child }: { readonly stated: StatedDose; readonly child: ChildMeant },
): Promise<Taken> {
  if (!stated.isDose) return { kind: 'known', id: null, remark: NOT_A_DOSE }
  const incoming = statementOf(deps, scope, stated, child)
  const known = await findStatement(tx, incoming.issuer, incoming.number)
  const isNew = known === undefined || stands(incoming, known)
  if (isNew) await putStatement(tx, incoming)
  // The dose it was about before, where the other register corrected it.
  if (known !== undefined && isNew) await settleIfDose(tx, deps, known)
  // Also a repeat is looked at again: what stood in the way of a dose may be gone.
  const id = await settleIfDose(tx, deps, isNew ? incoming : known)
  const problem = (await findStatement(tx, incoming.issuer, incoming.number))?.problem ?? null
  if (problem !== null) {
    return { kind: 'kept-aside', id: null, remark: { code: problem, detail: REASONS[problem] ?? problem } }
  }
  return { kind: known === undefined ? 'created' : 'known', id, remark: null }
}

const NOT_A_DOSE = { code: 'not-a-dose', detail: 'A dose that was not given is not taken over.' }

/** What the sender is told of a dose that is not on record yet. */
const REASONS: Readonly<Record<string, string>> = {
  'child-not-known': 'Kept until a child with this number is sent.',
  'code-not-known': 'Kept as it is: the code means no vaccine here.',
  'day-not-known': 'Kept as it is: a dose on record needs its day.',
  'withdrawn-here': 'It was withdrawn here; a person looks at it.',
}

function statementOf(
  deps: Deps,
  { district, postIds, by }: ExchangeScope,
  stated: StatedDose,
  child: ChildMeant,
): DoseStatement {
  const { code, vaccine, givenOn, dayText, locationId, isWithdrawn } = stated
  const postId = locationId !== null && postIds.has(locationId) ? locationId : null
  return {
    ...numberOf(stated, child),
    districtId: district.id,
    childIssuer: child.issuer,
    childNumber: child.number,
    childId: child.childId,
    vaccine,
    givenOn,
    code: JSON.parse(JSON.stringify(code)) as DoseStatement['code'],
    dayText,
    postId,
    delivery: stated.delivery,
    isElsewhere: !stated.isFirstHand || postId === null,
    isWithdrawn,
    statedAt: stated.statedAt,
    receivedAt: deps.clock.now(),
    receivedBy: by,
    problem: isWithdrawn ? null : whyNone(child.childId, vaccine, givenOn),
  }
}

/** How the other register calls the dose, or what tells it from others where it does not. */
function numberOf({ issuer, number, vaccine, code, dayText }: StatedDose, child: ChildMeant) {
  if (issuer !== null && number !== null) return { issuer, number }
  const [first] = code.coding
  const words = vaccine ?? [first?.system, first?.code, code.text].join(' ')
  return { issuer: UNNUMBERED, number: `${child.issuer} ${child.number} ${words} ${dayText}` }
}

function whyNone(childId: string | null, vaccine: string | null, givenOn: number | null): string | null {
  if (vaccine === null) return 'code-not-known'
  if (givenOn === null) return 'day-not-known'
  return childId === null ? 'child-not-known' : null
}

/** Settles the dose a statement is about, if it says enough to be one; answers the dose on record. */
export async function settleIfDose(
  tx: Transaction,
  deps: Deps,
  statement: DoseStatement,
): Promise<string | null> {
  const { childId, vaccine, givenOn } = statement
  if (childId === null || vaccine === null || givenOn === null) return null
  return settleDose(tx, deps, { childId, vaccine, givenOn }, statement)
}
