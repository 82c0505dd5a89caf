import { mustParseDay } from '../../../src/core/days/day.ts'
import type { ActName, Sender } from '../../../src/core/reading/act.ts'
import { read } from '../../../src/core/reading/read.ts'
import type { ReadContext } from '../../../src/core/reading/read-context.ts'
import { buildVocabulary } from '../../../src/core/reading/vocabulary.ts'
import type { PhraseKey } from '../../../src/core/texts/catalogue/phrases.ts'
import type { Word } from '../../../src/core/texts/catalogue/placeholders.ts'
import { render } from '../../../src/core/texts/phrases.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { tidy } from '../../../src/core/texts/tidy.ts'
import { readPhraseBooks } from '../../../src/main/phrase-books.ts'
import { readKeywordBooks } from '../../../src/main/vocabularies.ts'

const books = [...readPhraseBooks().values()]
const keywords = readKeywordBooks()

function contextOf(language: string, from: Sender): ReadContext {
  const vaccines = ['BCG', 'BOPV', 'PENTA', 'PCV', 'ROTA', 'IPV', 'FIPV', 'MR']
  return {
    from,
    on: mustParseDay('2026-11-24'),
    vocabulary: buildVocabulary(keywords, { languages: [language], vaccines }),
    language,
    region: 'GB',
    isDayFirst: true,
  }
}

/** Each help text, the word whose example it ends in, and the act that example is. */
const LESSONS: readonly (readonly [PhraseKey, Word, ActName, Sender])[] = [
  ['help-gave', 'gaveWord', 'record-doses', 'vaccinator'],
  ['help-new', 'newWord', 'enrol', 'vaccinator'],
  ['help-due', 'dueWord', 'due-list', 'vaccinator'],
  ['help-card', 'cardWord', 'card-status', 'vaccinator'],
  ['help-opened', 'openedWord', 'open-vial', 'vaccinator'],
  ['help-discard', 'discardWord', 'discard-vial', 'vaccinator'],
  ['help-visit', 'visitWord', 'record-visit', 'vaccinator'],
  ['help-not-given', 'notGivenWord', 'record-not-given', 'vaccinator'],
  ['help-temperature', 'temperatureWord', 'record-temperature', 'vaccinator'],
  ['help-stock', 'stockWord', 'record-stock', 'vaccinator'],
  ['help-double', 'doubleWord', 'flag-double', 'vaccinator'],
  ['help-name', 'nameWord', 'rename-child', 'vaccinator'],
  ['help-cover', 'coverWord', 'coverage', 'manager'],
  ['help-missed', 'missedWord', 'missed-list', 'manager'],
]

/** The end of a help text, from the last use of its word; accents go as they do on the way out. */
function exampleOf(book: PhraseBook, key: PhraseKey, word: Word): string {
  const text = render(book, key, {})
  return text.slice(text.lastIndexOf(tidy(book.words[word], { accents: 'drop' })))
}

describe.each(books.map((book) => [book.language, book] as const))('in %s', (language, book) => {
  test.each(LESSONS)('the example of %s is read as what it teaches', (key, word, act, from) => {
    const example = exampleOf(book, key, word)

    expect({ example, reading: read(example, contextOf(language, from)) }).toMatchObject({ reading: { act } })
  })

  test.each([
    ['whenWord', 'next-date'],
    ['laterWord', 'move-later'],
    ['stopWord', 'stop'],
    ['startWord', 'start'],
    ['helpWord', 'help'],
  ] as const)('a parent who sends %s is understood', (word, act) => {
    expect(read(book.words[word], contextOf(language, 'parent'))).toMatchObject({ act })
  })

  test.each([
    ['moreWord', 'next-page', 'vaccinator'],
    ['undoWord', 'undo', 'vaccinator'],
    ['seenWord', 'acknowledge', 'manager'],
  ] as const)('a worker who sends %s is understood', (word, act, from) => {
    expect(read(book.words[word], contextOf(language, from))).toMatchObject({ act })
  })

  test.each([
    ['vialTopic', 'VIAL'],
    ['coldTopic', 'COLD'],
    ['afterTopic', 'AFTER'],
    ['reactionTopic', 'REACTION'],
  ] as const)('help on %s is understood', (word, topic) => {
    const text = `${book.words.helpWord} ${book.words[word]}`

    expect(read(text, contextOf(language, 'vaccinator'))).toEqual({ act: 'help', topic })
  })
})
