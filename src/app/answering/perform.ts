import type { ActName, SingleAct } from '../../core/reading/act.ts'
import { sayError } from '../../core/texts/phrases.ts'
import { cardStatusByText } from './acts/card.ts'
import { enrolByText } from './acts/enrol.ts'
import { moveLaterByText, nextDateByText, setLanguageByText, startByText, stopByText } from './acts/family.ts'
import { recordStockByText, recordTemperatureByText } from './acts/cold-store.ts'
import { coverageByText, missedByText } from './acts/figures.ts'
import { flagDoubleByText, recordNotGivenByText, recordVisitByText, renameByText } from './acts/follow-up.ts'
import { confirmByText, nextPageByText } from './acts/going-on.ts'
import { helpByText } from './acts/help.ts'
import { dueListByText } from './acts/lists.ts'
import { acknowledgeByText, reportReactionByText } from './acts/reactions.ts'
import { recordDosesByText } from './acts/record-doses.ts'
import { undoByText } from './acts/undo.ts'
import { discardVialByText, openVialByText } from './acts/vials.ts'
import { choosePinByText } from '../pins/choose-pin.ts'
import type { Family, KnownSender, Worker } from './sender.ts'
import type { Answer, Talk } from './talk.ts'

/** Who does each act. */
type Performers<Who extends KnownSender> = {
  readonly [Name in ActName]?: (
    talk: Talk<Who>,
    act: Extract<SingleAct, { act: Name }>,
  ) => Promise<Answer> | Answer
}

const FOR_WORKERS: Performers<Worker> = {
  'record-doses': recordDosesByText,
  enrol: (talk, act) => enrolByText(talk, act),
  'due-list': (talk, act) => dueListByText(talk, act),
  'card-status': cardStatusByText,
  'open-vial': (talk, act) => openVialByText(talk, act),
  'discard-vial': discardVialByText,
  'report-reaction': (talk, act) => reportReactionByText(talk, act),
  acknowledge: acknowledgeByText,
  'set-pin': choosePinByText,
  'record-temperature': recordTemperatureByText,
  'record-stock': recordStockByText,
  undo: undoByText,
  'record-visit': recordVisitByText,
  'record-not-given': recordNotGivenByText,
  'rename-child': (talk, act) => renameByText(talk, act),
  'flag-double': flagDoubleByText,
  coverage: coverageByText,
  'missed-list': (talk, act) => missedByText(talk, act),
  'next-page': nextPageByText,
  'answer-yes': confirmByText,
  help: helpByText,
}

const FOR_FAMILIES: Performers<Family> = {
  'next-date': nextDateByText,
  'move-later': (talk) => moveLaterByText(talk),
  stop: stopByText,
  start: startByText,
  'set-language': setLanguageByText,
  help: helpByText,
}

/** Whether this sender may have this done here; what is read and not offered yet is not. */
export function canPerform({ kind }: KnownSender, { act }: SingleAct): boolean {
  return act in (kind === 'worker' ? FOR_WORKERS : FOR_FAMILIES)
}

/** Does one thing a worker asks for and says what came of it. */
export function performForWorker(talk: Talk<Worker>, act: SingleAct): Promise<Answer> {
  return perform(FOR_WORKERS, talk, act)
}

/** Does one thing a parent asks for and says what came of it. */
export function performForFamily(talk: Talk<Family>, act: SingleAct): Promise<Answer> {
  return perform(FOR_FAMILIES, talk, act)
}

async function perform<Who extends KnownSender>(
  performers: Performers<Who>,
  talk: Talk<Who>,
  act: SingleAct,
): Promise<Answer> {
  // The table pairs each name with the performer of that very act, which the compiler cannot follow.
  const performer = performers[act.act] as
    ((talk: Talk<Who>, act: SingleAct) => Promise<Answer> | Answer) | undefined
  return performer === undefined ? { body: sayError(talk.book, 'not-understood') } : performer(talk, act)
}
