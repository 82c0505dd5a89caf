import { mustBeValid } from '../../../src/core/checked-data.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { isReadProblem } from '../../../src/core/reading/act.ts'
import { read } from '../../../src/core/reading/read.ts'
import { sayProblem } from '../../../src/core/reading/say-problem.ts'
import { parsePhraseBook } from '../../../src/core/texts/phrase-book.ts'
import type { PhraseBook } from '../../../src/core/texts/phrases.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { aContext, keywordBook, languages } from '../../support/reading.ts'

function phraseBook(language: string): PhraseBook {
  return mustBeValid(parsePhraseBook(readDataFile(`phrases/${language}.json`), keywordBook(language)))
}

/** The reply to a text that cannot be taken. */
function replyTo(text: string, language = 'en'): string {
  const problem = read(text, aContext({ language }))
  if (!isReadProblem(problem)) throw new Error(`${text} was read`)
  const wording = {
    phrases: phraseBook(language),
    keywords: keywordBook(language),
    today: mustParseDay('2026-11-24'),
  }
  return sayProblem(problem, wording)
}

describe('sayProblem (requirement DOS-13)', () => {
  test.each([
    [
      'gave 4821 7738 opv yesterday',
      'A digit of card 4821 7738 is wrong. Read: GAVE, BOPV, 2026-11-23. Send for example: GAVE 4821 7739 BOPV 2026-11-23',
    ],
    [
      'NEW Lindi F 07700900456 Juma',
      'The birth date is missing. Read: NEW, Lindi, F, +447700900456, Juma. Send for example: NEW Lindi 2026-10-13 F +447700900456 Juma',
    ],
    [
      'GAVE 3095 1466 polio',
      'polio can be more than one vaccine. Send one of these:\nGAVE 3095 1466 BOPV 2026-11-24\nGAVE 3095 1466 FIPV 2026-11-24',
    ],
    ['WHEN', 'This number may not send WHEN. Read: WHEN. Send for example: HELP'],
    ['UNDO last', 'Sorry, we could not read this text. Read: UNDO. Send for example: UNDO'],
    ['who are you', 'Sorry, we could not read this text. Send for example: HELP'],
  ])('answers %j', (text, reply) => {
    expect(replyTo(text)).toBe(reply)
  })

  const WRONG = [
    'GAVE',
    'NEW',
    'CARD',
    'OPENED',
    'DISCARD',
    'REACTION',
    'VISIT',
    'NOTGIVEN',
    'TEMP',
    'STOCK',
    'DOUBLE',
    'NAME',
  ]

  test.each(languages.flatMap((language) => WRONG.map((keyword): [string, string] => [language, keyword])))(
    'shows in %s how %s is written, so that the example reads well',
    (language, keyword) => {
      const example =
        replyTo(keyword, language)
          .split(/[:：]\s*/)
          .at(-1) ?? ''

      expect(isReadProblem(read(example, aContext({ language })))).toBe(false)
    },
  )
})
