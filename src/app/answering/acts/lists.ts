import { vaccinesOf } from '../../../core/appointments/next-appointment.ts'
import { formatCardNumber } from '../../../core/card-number.ts'
import { addDays } from '../../../core/days/day.ts'
import type { Day } from '../../../core/days/day.ts'
import { pastReactionFlag } from '../../../core/reactions/past-reaction.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { listDue } from '../../../store/appointments.ts'
import type { DueChild } from '../../../store/appointments.ts'
import { listHealthPosts } from '../../../store/districts.ts'
import { pastReactionsOf } from '../../../store/reactions.ts'
import type { Worker } from '../sender.ts'
import { withFailingPhone } from '../../failing-phones.ts'
import { listText } from '../list-text.ts'
import { inWords, villageByName } from '../talk.ts'
import type { Answer, Conversation, Talk } from '../talk.ts'

/** Lines of the list in one text. */
const LINES = 8
/** How far ahead the next session is looked for when no day is named. */
const LOOK_AHEAD_DAYS = 60

/** DUE: who is expected on a day, or at the next session that anyone is expected at. */
export async function dueListByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'due-list' }>,
  page = 0,
): Promise<Answer> {
  const { book } = talk
  const village = act.village === null ? null : await villageByName(talk, act.village)
  const place = village?.name ?? (await postNameOf(talk)) ?? talk.sender.district.name
  const { on, due } = await expectedOn(talk, village?.id ?? null, act.date)
  if (due.length === 0) return { body: say(book, 'due-none', { place, day: inWords(talk, on) }) }
  const head = say(book, 'due-list', { place, day: inWords(talk, on), count: due.length })
  const { childNaming: naming } = talk.sender.district
  const children = await withFlags(talk, due)
  const list = listText(book, { head, children, naming, lines: LINES, page })
  const shown = due.slice(page * LINES, (page + 1) * LINES)
  return { body: [list, ...(await phonesText(talk, shown))].join('\n') }
}

/** Families on the list that no text reaches are asked for another number when they come. */
async function phonesText({ tx, book }: Talk, shown: readonly DueChild[]): Promise<string[]> {
  const failing = await withFailingPhone(
    tx,
    shown.map(({ childId }) => childId),
  )
  const cards = shown
    .filter(({ childId }) => failing.has(childId))
    .map(({ cardNumber }) => formatCardNumber(cardNumber))
  return cards.length === 0 ? [] : [say(book, 'phones-fail', { cards: cards.join(', ') })]
}

/** Who is expected on the day that was named, or on the next day on which anyone is. */
export async function expectedOn(
  { tx, sender, today }: Conversation<Worker>,
  villageId: string | null,
  day: Day | null,
) {
  const expected = await listDue(tx, {
    districtId: sender.district.id,
    postId: sender.person.postId,
    villageId,
    from: day ?? today,
    to: day ?? addDays(today, LOOK_AHEAD_DAYS),
  })
  const on = day ?? expected[0]?.sessionOn ?? today
  return { on, due: expected.filter((child) => child.sessionOn === on) }
}

/** The worker's own health post. */
export async function postNameOf({ tx, sender }: Conversation<Worker>): Promise<string | undefined> {
  const posts = await listHealthPosts(tx, sender.district.id)
  return posts.find((post) => post.id === sender.person.postId)?.name
}

/** Marks the children whose earlier reaction is to be asked about before a dose. */
export async function withFlags({ tx }: Conversation<Worker>, due: readonly DueChild[]) {
  const past = await pastReactionsOf(
    tx,
    due.map(({ childId }) => childId),
  )
  return due.map((child) => {
    const flag = pastReactionFlag(past.get(child.childId) ?? [], vaccinesOf(child.doses))
    return { ...child, isFlagged: flag !== undefined }
  })
}
