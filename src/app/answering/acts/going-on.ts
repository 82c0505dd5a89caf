import { isReadProblem } from '../../../core/reading/act.ts'
import { say, sayError } from '../../../core/texts/phrases.ts'
import { dayAt } from '../../../core/days/zoned-time.ts'
import { listTextsBefore } from '../../../store/texts.ts'
import type { TextIn } from '../../../store/texts.ts'
import { readAs } from '../read-as.ts'
import type { Worker } from '../sender.ts'
import type { Answer, Talk } from '../talk.ts'
import { enrolByText } from './enrol.ts'
import { renameByText } from './follow-up.ts'
import { missedByText } from './figures.ts'
import { dueListByText } from './lists.ts'

/** How far back a talk is followed. */
const TEXTS_BACK = 30
const YES_MS = 3_600_000

/** MORE: the next lines of the list that was asked for last. What came between were MOREs, which count the pages. */
export async function nextPageByText(talk: Talk<Worker>): Promise<Answer> {
  const before = await listTextsBefore(talk.tx, talk.text, TEXTS_BACK)
  const page = before.findIndex((text) => text.act !== 'next-page')
  const asked = before[page]
  const act = asked === undefined ? undefined : await readAs(talk, asked.body)
  if (act === undefined || isReadProblem(act)) return { body: say(talk.book, 'list-end') }
  if (act.act === 'due-list') return dueListByText(talk, act, page + 1)
  if (act.act === 'missed-list') return missedByText(talk, act, page + 1)
  return { body: say(talk.book, 'list-end') }
}

/** What waits for a YES, as `text_in.problem` has it. */
const WAITING = ['child-may-exist', 'needs-yes']

/** YES: the text before is done after all, though a child looks like it or a record is changed by it. */
export async function confirmByText(talk: Talk<Worker>): Promise<Answer> {
  const [asked] = await listTextsBefore(talk.tx, talk.text, 1)
  const isAnswer =
    asked?.problem != null &&
    WAITING.includes(asked.problem) &&
    talk.text.receivedAt.getTime() - asked.receivedAt.getTime() <= YES_MS
  const act = isAnswer ? await readAs(onDayOf(talk, asked), asked.body) : undefined
  if (act !== undefined && !isReadProblem(act)) {
    if (act.act === 'enrol') return enrolByText(talk, act, { isKnownToBeNew: true })
    if (act.act === 'rename-child') return renameByText(talk, act, { isConfirmed: true })
  }
  return { body: sayError(talk.book, 'not-understood') }
}

/** The talk as it was when an earlier text came: its "yesterday" is that day's. */
function onDayOf(talk: Talk<Worker>, asked: TextIn): Talk<Worker> {
  return { ...talk, today: dayAt(asked.receivedAt, talk.sender.district.timeZone) }
}
