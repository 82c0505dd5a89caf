import type { SingleAct } from '../../../core/reading/act.ts'
import { formatCardNumber } from '../../../core/card-number.ts'
import { say } from '../../../core/texts/phrases.ts'
import { listAlerts } from '../../../store/alerts.ts'
import { markAlert } from '../../reactions/alerts.ts'
import { reportReaction } from '../../reactions/report-reaction.ts'
import type { Worker } from '../sender.ts'
import { childByCard, nameOf } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

type OfAct<Name extends SingleAct['act']> = Extract<SingleAct, { act: Name }>

/** REACTION: noted, and where it is serious someone who can act is told at once. Nothing is diagnosed. */
export async function reportReactionByText(
  talk: Talk<Worker>,
  act: OfAct<'report-reaction'>,
  signs: readonly string[] = [],
): Promise<Answer> {
  const { tx, deps, sender, text, via, book, today } = talk
  const child = await childByCard(talk, act.card)
  const reaction = await reportReaction(tx, deps, {
    district: sender.district,
    child,
    postId: sender.person.postId,
    words: act.words,
    signs,
    outcomes: [],
    reactionOn: today,
    reportedAt: text.receivedAt,
    by: sender.person.id,
    via,
    textInId: text.id,
  })
  const key = reaction.isSerious ? 'reaction-serious' : 'reaction-noted'
  const what = `${formatCardNumber(child.cardNumber)}: ${act.words}`
  return {
    body: say(book, key, nameOf(talk, child)),
    effect: { entries: [{ kind: 'reaction', id: reaction.id, what }] },
  }
}

/** Most alerts that are worth a choice in one text. */
const MOST_ALERTS = 50

/** SEEN: takes an alert on. Without a number only where no other is meant. */
export async function acknowledgeByText(talk: Talk<Worker>, act: OfAct<'acknowledge'>): Promise<Answer> {
  const { tx, deps, sender, book } = talk
  const open = await listAlerts(tx, sender.district.id, { isOpen: true, limit: MOST_ALERTS })
  const waiting = open.filter(({ acknowledgedAt }) => acknowledgedAt === null)
  const meant =
    act.reference === null ? waiting : open.filter(({ number }) => String(number) === act.reference)
  const [alert, ...others] = meant
  if (alert === undefined) return { body: say(book, 'alert-none') }
  if (others.length > 0)
    return { body: say(book, 'alert-which', { what: meant.map(({ number }) => number).join(', ') }) }
  await markAlert(tx, deps, {
    districtId: sender.district.id,
    alertId: alert.id,
    deed: 'acknowledged',
    by: sender.person.name,
  })
  return { body: say(book, 'acknowledged') }
}
