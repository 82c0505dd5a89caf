import type { ActName } from './act.ts'
import { readStock, readTemperature } from './read-cold-store.ts'
import { readDoses, readDouble, readNotGiven } from './read-doses.ts'
import { readEnrolment } from './read-enrolment.ts'
import {
  readBare,
  readCardStatus,
  readDueList,
  readHelp,
  readLanguage,
  readOfVillage,
  readSeen,
  readUndo,
} from './read-questions.ts'
import { readNewName, readReaction, readVisit } from './read-reports.ts'
import { readDiscardedVial, readOpenedVial } from './read-vials.ts'
import type { ActReader } from './taken.ts'

/** Reads what follows the keyword of each act. */
export const ACT_READERS: Readonly<Record<ActName, ActReader>> = {
  'record-doses': readDoses,
  enrol: readEnrolment,
  'due-list': readDueList,
  'card-status': readCardStatus,
  'open-vial': readOpenedVial,
  'discard-vial': readDiscardedVial,
  'report-reaction': readReaction,
  undo: readUndo,
  'record-visit': readVisit,
  'record-not-given': readNotGiven,
  'record-temperature': readTemperature,
  'record-stock': readStock,
  'flag-double': readDouble,
  'rename-child': readNewName,
  coverage: readOfVillage('coverage'),
  'missed-list': readOfVillage('missed-list'),
  acknowledge: readSeen,
  'set-pin': readBare('set-pin'),
  'next-page': readBare('next-page'),
  'next-date': readBare('next-date'),
  'move-later': readBare('move-later'),
  stop: readBare('stop'),
  start: readBare('start'),
  'set-language': readLanguage,
  'answer-yes': readBare('answer-yes'),
  'answer-no': readBare('answer-no'),
  help: readHelp,
}

/** Acts that end in a name. */
export const IN_NAMES: ReadonlySet<ActName> = new Set([
  'enrol',
  'rename-child',
  'due-list',
  'coverage',
  'missed-list',
])

/** Acts that end in the sender's own words, where any word may stand. */
export const IN_OWN_WORDS: ReadonlySet<ActName> = new Set(['report-reaction', 'record-visit', 'discard-vial'])
