import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'
import { SENDERS } from './act.ts'
import type { ActName } from './act.ts'

/** The words of one language that texts are read by: a file of src/data/keywords. */

const phrase = z.string().trim().min(1)
const phrases = z.array(phrase).readonly()
const some = z.array(phrase).min(1).readonly()

// The keys of an object whose type names them all.
const ACT_NAMES = Object.keys(SENDERS) as [ActName, ...ActName[]]

const KeywordBook = z.strictObject({
  /** BCP 47 code. */
  language: z.string().regex(/^[a-z]{2,3}(-[A-Z]{2})?$/),
  review: z.enum(['source language', 'needs a native reviewer', 'reviewed by a native speaker']),
  /** Locales whose month and weekday names are understood. */
  locales: some,
  /** The language's name, in itself and in the others. */
  names: some,
  /** Keywords; the first of each is the one to teach. */
  acts: z.record(z.enum(ACT_NAMES), some),
  words: z.strictObject({
    /** All that is due. */
    all: some,
    /** Before a vial number. */
    vial: some,
    /** Before a refrigerator's number or letter. */
    fridge: some,
    /** Before a typed field, and no part of it. */
    labels: phrases,
    female: some,
    male: some,
    noPhone: some,
    /** The dose at birth, numbered 0. */
    birthDose: phrases,
    vials: some,
    doses: some,
    /** Of closed vials: carried to a session, and back in the store. */
    takenOut: some,
    broughtBack: some,
    /** Before a lot number. */
    lot: some,
  }),
  /** Days counted from today: `-1` is yesterday. */
  days: z.record(z.enum(['-2', '-1', '0', '1', '2']), phrases),
  /** `#` stands for the number. */
  daysAgo: z.array(z.string().regex(/#/)).readonly(),
  /** Beside a weekday. */
  last: phrases,
  next: phrases,
  /** More names of weekdays, 1 = Monday. */
  weekdays: z.partialRecord(z.enum(['1', '2', '3', '4', '5', '6', '7']), phrases),
  vaccines: z.record(z.string().regex(/^[A-Z][A-Z0-9]*$/), phrases),
  outcomes: z.record(z.enum(['active', 'moved', 'died', 'refused', 'lost', 'away']), some),
  reasons: z.record(
    z.enum([
      'refused',
      'ill',
      'out-of-stock',
      'contraindicated',
      'no-session',
      'too-far',
      'no-time',
      'not-told',
      'fear',
    ]),
    some,
  ),
  topics: z.record(z.enum(['VIAL', 'COLD', 'AFTER', 'REACTION']), some),
  /** Small words that carry no meaning of their own. */
  fillers: phrases,
  /** Greetings, thanks, titles. */
  polite: phrases,
  /** Words after which only a name or a device's signature follows. */
  closings: phrases,
})

/** The words of one language, proven. */
export type KeywordBook = z.infer<typeof KeywordBook>

/** Proves a keyword file. */
export function checkKeywordBook(data: unknown): Checked<KeywordBook> {
  return checkData(KeywordBook, data)
}
