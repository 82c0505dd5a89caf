import type { SingleAct } from '../../../core/reading/act.ts'
import { instantOf } from '../../../core/days/zoned-time.ts'
import { Refusal } from '../../../core/refusals.ts'
import { say } from '../../../core/texts/phrases.ts'
import { readClosedDiscardReason } from '../../../core/vials/discard-reason.ts'
import type { StockEntry, StockKind } from '../../../store/stock.ts'
import { noteTemperature } from '../../cold-chain/note-temperature.ts'
import { countStock } from '../../supplies/stock-on-hand.ts'
import { watchStock } from '../../supplies/watch-stock.ts'
import type { Worker } from '../sender.ts'
import type { Answer, Talk } from '../talk.ts'

type OfAct<Name extends SingleAct['act']> = Extract<SingleAct, { act: Name }>

/** The refrigerator of a post that has only one. */
const ONLY_FRIDGE = '1'
/** Of an earlier day only the day is known. */
const NOON = 12 * 60

/** @throws {Refusal} post-not-found */
function ownPost({ sender }: Talk<Worker>): string {
  if (sender.person.postId !== null) return sender.person.postId
  throw new Refusal(
    'post-not-found',
    'This number belongs to no health post; ask a manager to add it to one.',
  )
}

/** TEMP: notes a temperature; outside the range it says what to do with which vials. */
export async function recordTemperatureByText(
  talk: Talk<Worker>,
  act: OfAct<'record-temperature'>,
): Promise<Answer> {
  const { tx, deps, sender, text, via, book, today } = talk
  const { district } = sender
  const noted = await noteTemperature(tx, deps, {
    district,
    postId: ownPost(talk),
    fridge: act.fridge ?? ONLY_FRIDGE,
    celsius: act.celsius,
    at: act.date === today ? text.receivedAt : instantOf({ day: act.date, minute: NOON }, district.timeZone),
    by: sender.person.id,
    via,
    textInId: text.id,
  })
  const degrees = String(act.celsius)
  const head = { cold: 'temperature-low', warm: 'temperature-high' } as const
  const opening = noted.side === null ? 'temperature-noted' : head[noted.side]
  const advice = [...noted.vials].map(([sentence, vials]) => say(book, sentence, { what: vials.join(', ') }))
  return {
    body: [say(book, opening, { degrees }), ...advice].join(' '),
    effect: { entries: [{ kind: 'temperature', id: noted.id, what: `${degrees} C` }] },
  }
}

/** A receipt and waste bear their signs, as they were sent. */
const SIGNS: Partial<Record<StockKind, string>> = { received: '+', 'discarded-closed': '-' }

const inFigures = ({ kind, vials, vaccine, lot }: StockEntry): string =>
  `${SIGNS[kind] ?? ''}${vials} ${vaccine}${lot === null ? '' : ` ${lot}`}`

/** STOCK: notes what was counted, came in or was thrown away closed; a store too small for the next session reaches the managers. */
export async function recordStockByText(talk: Talk<Worker>, act: OfAct<'record-stock'>): Promise<Answer> {
  const { tx, deps, sender, text, via, book } = talk
  const postId = ownPost(talk)
  const entries = await countStock(tx, deps, {
    district: sender.district,
    postId,
    counts: act.counts.map((count) => ({
      ...count,
      ...(act.moved === undefined ? {} : { kind: act.moved }),
    })),
    reason:
      act.why === undefined ? null : (readClosedDiscardReason(act.why, deps.shelf.discardWords) ?? null),
    at: text.receivedAt,
    by: sender.person.id,
    via,
    textInId: text.id,
  })
  const short = await watchStock(tx, deps, { district: sender.district, postId })
  const what = entries.map(inFigures).join(', ')
  return {
    body: [
      say(book, act.moved === undefined ? 'stock-noted' : `stock-${act.moved}`, { what }),
      ...(short === '' ? [] : [say(book, 'carry-short', { what: short })]),
    ].join(' '),
    effect: {
      entries: entries.map((entry) => ({ kind: 'stock' as const, id: entry.id, what: inFigures(entry) })),
    },
  }
}
