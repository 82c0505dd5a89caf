import type { Day } from '../core/days/day.ts'
import type { District, Village } from '../core/model.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import { sayAftercare } from '../core/texts/aftercare.ts'
import type { AftercareCause } from '../core/texts/aftercare.ts'
import { labelChild } from '../core/texts/child-label.ts'
import { say } from '../core/texts/phrases.ts'
import { sayDay } from '../core/texts/say-day.ts'
import type { ClaimedReminder } from '../store/reminders.ts'
import { bookFor } from './shelf.ts'
import type { Shelf } from './shelf.ts'

export interface BundleFacts {
  readonly kind: string
  readonly aboutOn: Day
  /** All of one line; the first speaks for what they share. */
  readonly reminders: readonly ClaimedReminder[]
  readonly first: ClaimedReminder
  readonly district: District
  readonly village: Village
  /** The district's vaccines. */
  readonly vaccines: Schedule['vaccines']
}

/** The text of a bundle, in the line's language and the district's calendar. */
export function composeBundle(shelf: Shelf, facts: BundleFacts): string {
  const { kind, aboutOn, reminders, first, district, village, vaccines } = facts
  const book = bookFor(shelf, district, first.language)
  const style = { language: first.language, calendar: district.calendar, hours: village.sessionHours }
  const inWords = (day: Day): string => sayDay(day, style)
  const shared = {
    post: first.postName,
    child: labelChild(first.childName, district.childNaming),
    count: reminders.length,
    place: village.sessionPlace,
  }
  const next = first.nextSessionOn
  switch (kind) {
    case 'aftercare': {
      const given = reminders.flatMap((reminder) => reminder.vaccines)
      const causes = causesOf(vaccines, given)
      const visit = next === null ? null : { day: inWords(next), place: shared.place }
      return sayAftercare(book, { ...shared, causes, next: visit })
    }
    case 'missed-1':
    case 'missed-2':
      return say(book, `reminder-${kind}`, { ...shared, day: inWords(next ?? aboutOn) })
    case 'moved':
      return say(book, 'reminder-session-moved', { ...shared, day: inWords(aboutOn) })
    case 'called-off':
    case 'ahead':
    case 'eve':
      return say(book, `reminder-${kind}`, { ...shared, day: inWords(aboutOn) })
    default:
      throw new Error(`no text for reminders of kind ${kind}`)
  }
}

/** What a parent will notice of the vaccines that were given. */
export function causesOf(
  vaccines: Schedule['vaccines'],
  given: readonly string[],
): ReadonlySet<AftercareCause> {
  return new Set(
    given.map((code) => {
      if (code === 'BCG') return 'bcg'
      switch (vaccines.get(code)?.route) {
        case 'oral':
          return 'drops'
        case 'intradermal':
          return 'intradermal'
        case 'subcutaneous':
        case 'intramuscular':
        case undefined:
          return 'injection'
      }
    }),
  )
}
