import type { SingleAct } from '../../core/reading/act.ts'
import { sayError } from '../../core/texts/phrases.ts'
import { cardStatusByText } from './acts/card.ts'
import { enrolByText } from './acts/enrol.ts'
import { moveLaterByText, nextDateByText, setLanguageByText, startByText, stopByText } from './acts/family.ts'
import { helpByText } from './acts/help.ts'
import { dueListByText } from './acts/lists.ts'
import { recordDosesByText } from './acts/record-doses.ts'
import { undoByText } from './acts/undo.ts'
import type { Family, Worker } from './sender.ts'
import type { Answer, Talk } from './talk.ts'

/** Does one thing a worker asks for and says what came of it. */
export async function performForWorker(talk: Talk<Worker>, act: SingleAct): Promise<Answer> {
  switch (act.act) {
    case 'record-doses':
      return recordDosesByText(talk, act)
    case 'enrol':
      return enrolByText(talk, act)
    case 'due-list':
      return dueListByText(talk, act)
    case 'card-status':
      return cardStatusByText(talk, act)
    case 'undo':
      return undoByText(talk, act)
    case 'help':
      return helpByText(talk, act)
    default:
      return { body: sayError(talk.book, 'not-understood') }
  }
}

/** Does one thing a parent asks for and says what came of it. */
export async function performForFamily(talk: Talk<Family>, act: SingleAct): Promise<Answer> {
  switch (act.act) {
    case 'next-date':
      return nextDateByText(talk)
    case 'move-later':
      return moveLaterByText(talk)
    case 'stop':
      return stopByText(talk)
    case 'start':
      return startByText(talk)
    case 'set-language':
      return setLanguageByText(talk, act)
    case 'help':
      return helpByText(talk, act)
    default:
      return { body: sayError(talk.book, 'not-understood') }
  }
}
