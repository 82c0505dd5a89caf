import type { SingleAct } from '../../../core/reading/act.ts'
import type { Verdict } from '../../../core/schedule/forecast-types.ts'
import { say } from '../../../core/texts/phrases.ts'
import { recordDoses } from '../../record-doses.ts'
import type { DosesRecorded, RecordedDose } from '../../record-doses.ts'
import { childByCard, inWords, nameOf, visitInWords } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'
import type { Worker } from '../sender.ts'

/** GAVE: records the doses and confirms them as history counts them, with the next visit. */
export async function recordDosesByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'record-doses' }>,
): Promise<Answer> {
  const { tx, deps, sender, text } = talk
  const child = await childByCard(talk, act.card)
  const typed = new Map(act.typed.map(({ vaccine, dose }) => [vaccine, dose]))
  const vaccines = act.vaccines.map((vaccine) => ({ vaccine, typedNumber: typed.get(vaccine) ?? null }))
  const result = await recordDoses(tx, deps, {
    childId: child.id,
    card: act.card,
    vaccines: act.all ? 'all' : vaccines,
    givenOn: act.date,
    by: sender.person.id,
    via: talk.via,
    postId: sender.person.postId,
    textInId: text.id,
    sentAt: text.receivedAt,
    delivery: 'routine',
    isElsewhere: false,
    vial: act.vial,
  })
  const isNew = result.recorded.some((dose) => !dose.wasKnown)
  const doseIds = result.recorded.filter((dose) => !dose.wasKnown).map((dose) => dose.id)
  return { body: confirm(talk, result, act.vial), ...(isNew ? { effect: { doseIds } } : {}) }
}

/** What was recorded, what does not count and why, which typed number differs, and the next visit. */
function confirm(talk: Talk, result: DosesRecorded, vial: string | null): string {
  const { book } = talk
  const { plan, recorded } = result
  const day = inWords(talk, recorded[0]?.givenOn ?? talk.today)
  const counted = recorded.flatMap((dose) => dose.counts).filter((verdict) => verdict.valid)
  const uncounted = recorded.filter((dose) => !dose.counts.some((verdict) => verdict.valid))
  const doses = [...new Set([...counted.map(numbered), ...uncounted.map((dose) => dose.vaccine)])].join(', ')
  const facts = { ...nameOf(talk, plan.child), doses, on: day }
  return [
    openingOf(talk, result, facts),
    ...uncounted.map((dose) =>
      say(book, 'dose-uncounted', { dose: dose.vaccine, reason: reasonOf(talk, dose) }),
    ),
    ...recorded.flatMap((dose) => differing(talk, dose)),
    ...vialDoubts(talk, result, vial),
  ].join(' ')
}

function openingOf(
  talk: Talk,
  { plan, recorded }: DosesRecorded,
  facts: { readonly card: string; readonly child: string; readonly doses: string; readonly on: string },
): string {
  const { book } = talk
  if (recorded.every((dose) => dose.wasKnown)) return say(book, 'already-recorded', facts)
  if (plan.appointment !== null) {
    return say(book, 'doses-recorded', { ...facts, next: visitInWords(talk, plan.appointment, plan.village) })
  }
  const isOver = plan.none?.reason === 'complete' || plan.none?.reason === 'closed'
  return say(book, isOver ? 'doses-recorded-last' : 'doses-recorded-open', facts)
}

function numbered(verdict: Verdict): string {
  return verdict.dose === null ? verdict.series : `${verdict.series} ${verdict.dose}`
}

function reasonOf({ book }: Talk, dose: RecordedDose): string {
  const reason = dose.counts.find((verdict) => verdict.reason !== null)?.reason ?? 'not-counted'
  return say(book, `reason-${reason}`)
}

/** History numbers a dose, never the sender; where both differ it is said. */
function differing({ book }: Talk, dose: RecordedDose): string[] {
  const counted = dose.counts.find((verdict) => verdict.valid)
  if (counted?.dose == null || dose.typedNumber === null || dose.typedNumber === counted.dose) return []
  return [
    say(book, 'dose-number-differs', {
      typed: `${dose.vaccine} ${dose.typedNumber}`,
      dose: numbered(counted),
    }),
  ]
}

/** What a manager will look at: each doubt about the vial once, whatever the number of doses. */
function vialDoubts({ book }: Talk, { draws, recorded }: DosesRecorded, typed: string | null): string[] {
  if (recorded.every((dose) => dose.wasKnown)) return []
  const flags = new Set([...draws.values()].flatMap((draw) => draw.flags))
  return [...flags].flatMap((flag) => {
    if (flag === 'no-vial') return []
    return [say(book, 'vial-doubt', { vial: typed ?? '', reason: say(book, `doubt-${flag}`) })]
  })
}
