import type { KeywordBook } from '../reading/keyword-book.ts'
import type { Word } from './catalogue/placeholders.ts'

/** Where each word stands in a keyword book; the first spelling is the one to teach. */
const SPELLINGS: Readonly<Record<Word, (keywords: KeywordBook) => readonly string[]>> = {
  gaveWord: ({ acts }) => acts['record-doses'],
  allWord: ({ words }) => words.all,
  newWord: ({ acts }) => acts.enrol,
  dueWord: ({ acts }) => acts['due-list'],
  cardWord: ({ acts }) => acts['card-status'],
  openedWord: ({ acts }) => acts['open-vial'],
  discardWord: ({ acts }) => acts['discard-vial'],
  reactionWord: ({ acts }) => acts['report-reaction'],
  undoWord: ({ acts }) => acts.undo,
  visitWord: ({ acts }) => acts['record-visit'],
  notGivenWord: ({ acts }) => acts['record-not-given'],
  temperatureWord: ({ acts }) => acts['record-temperature'],
  stockWord: ({ acts }) => acts['record-stock'],
  takenOutWord: ({ words }) => words.takenOut,
  broughtBackWord: ({ words }) => words.broughtBack,
  doubleWord: ({ acts }) => acts['flag-double'],
  nameWord: ({ acts }) => acts['rename-child'],
  coverWord: ({ acts }) => acts.coverage,
  missedWord: ({ acts }) => acts['missed-list'],
  seenWord: ({ acts }) => acts.acknowledge,
  pinWord: ({ acts }) => acts['set-pin'],
  moreWord: ({ acts }) => acts['next-page'],
  yesWord: ({ acts }) => acts['answer-yes'],
  whenWord: ({ acts }) => acts['next-date'],
  laterWord: ({ acts }) => acts['move-later'],
  stopWord: ({ acts }) => acts.stop,
  startWord: ({ acts }) => acts.start,
  helpWord: ({ acts }) => acts.help,
  vialTopic: ({ topics }) => topics.VIAL,
  coldTopic: ({ topics }) => topics.COLD,
  afterTopic: ({ topics }) => topics.AFTER,
  reactionTopic: ({ topics }) => topics.REACTION,
}

/** The words to send in one language, in capitals where its script has them. */
export function phraseWords(keywords: KeywordBook): Readonly<Record<Word, string>> {
  const words = Object.entries(SPELLINGS).map(([word, spellings]) => [
    word,
    (spellings(keywords)[0] ?? '').toLocaleUpperCase(keywords.language),
  ])
  // The keys are those of the table.
  return Object.fromEntries(words) as Record<Word, string>
}
