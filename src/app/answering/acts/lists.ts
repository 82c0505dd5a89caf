import { addDays } from '../../../core/days/day.ts'
import type { Day } from '../../../core/days/day.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { labelChild } from '../../../core/texts/child-label.ts'
import { formatCardNumber } from '../../../core/card-number.ts'
import { listDue } from '../../../store/appointments.ts'
import { listHealthPosts } from '../../../store/districts.ts'
import type { DueChild } from '../../../store/appointments.ts'
import type { Worker } from '../sender.ts'
import { inWords, vaccinesInWords, villageByName } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

/** Lines of a list in one text; the rest is counted. */
const LINES = 8
/** How far ahead the next session is looked for when no day is named. */
const LOOK_AHEAD_DAYS = 60

/** DUE: who is expected on a day, or at the next session that anyone is expected at. */
export async function dueListByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'due-list' }>,
): Promise<Answer> {
  const { tx, sender, today, book } = talk
  const village = act.village === null ? null : await villageByName(talk, act.village)
  const place = village?.name ?? (await postNameOf(talk)) ?? sender.district.name
  const expected = await listDue(tx, {
    districtId: sender.district.id,
    postId: sender.person.postId,
    villageId: village?.id ?? null,
    from: act.date ?? today,
    to: act.date ?? addDays(today, LOOK_AHEAD_DAYS),
  })
  const on = act.date ?? expected[0]?.sessionOn ?? today
  const due = expected.filter((child) => child.sessionOn === on)
  return {
    body:
      due.length === 0
        ? say(book, 'due-none', { place, day: inWords(talk, on) })
        : dueText(talk, place, on, due),
  }
}

async function postNameOf({ tx, sender }: Talk<Worker>): Promise<string | undefined> {
  const posts = await listHealthPosts(tx, sender.district.id)
  return posts.find((post) => post.id === sender.person.postId)?.name
}

function dueText(talk: Talk, place: string, on: Day, due: readonly DueChild[]): string {
  const { book } = talk
  const lines = due.slice(0, LINES).map((child) =>
    say(book, 'list-line', {
      card: formatCardNumber(child.cardNumber),
      child: labelChild(child.name, 'first-name'),
      doses: vaccinesInWords(child.doses),
    }),
  )
  const rest = due.length - lines.length
  return [
    say(book, 'due-list', { place, day: inWords(talk, on), count: due.length }),
    ...lines,
    ...(rest > 0 ? [say(book, 'list-more', { count: rest })] : []),
  ].join('\n')
}
