import { civilDate } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { sayDay } from '../../core/texts/say-day.ts'

/** Tells the story on the terminal: the days, the sessions, and the texts of a few families in full. */
export interface Narrator {
  /** A text that reached a phone. */
  readonly textTo: (number: string, body: string) => void
  /** A text that someone wrote; true: it is told, and so is the reply to it. */
  readonly textFrom: (number: string, body: string, weight: 'aside' | 'always-told') => boolean
  readonly session: (village: string, expected: number, came: number) => void
  readonly birth: (village: string) => void
  readonly births: () => number
  readonly closeDay: (day: Day) => void
}

export interface NarratorOptions {
  readonly print: (line: string) => void
  /** How the people are called whose phones are known. */
  readonly people: ReadonlyMap<string, string>
  /** Families whose every text is told. */
  readonly heroes: ReadonlySet<string>
  /** Workers, whose notices are told: what nobody asked for. */
  readonly workers: ReadonlySet<string>
}

const WRAP = 92
/** Talks of others that are told each day, so that the story stays short. */
const TALKS_A_DAY = 2
/** Notices to workers that are told each day. */
const NOTICES_A_DAY = 2

export function openNarrator({ print, people, heroes, workers }: NarratorOptions): Narrator {
  let born = 0
  let told: string[] = []
  let out = 0
  let talks = 0
  let notices = 0
  /** Texts of a number that are still to be answered. */
  const unanswered = new Map<string, number>()
  const places: string[] = []
  /** Numbers whose text was told and whose reply is still to come. */
  const awaiting = new Set<string>()

  function tell(number: string, body: string, arrow: string): void {
    told.push(...wrapped(`    ${arrow} ${people.get(number) ?? 'a parent'}: `, body))
  }

  return {
    textTo: (number, body) => {
      out += 1
      const asked = unanswered.get(number) ?? 0
      unanswered.set(number, Math.max(0, asked - 1))
      const isNotice = asked === 0 && workers.has(number) && notices < NOTICES_A_DAY
      if (isNotice) notices += 1
      if (heroes.has(number) || isNotice || awaiting.delete(number)) tell(number, body, '>')
    },
    textFrom: (number, body, weight) => {
      unanswered.set(number, (unanswered.get(number) ?? 0) + 1)
      const isChosen = heroes.has(number) || weight === 'always-told'
      if (!isChosen && (talks >= TALKS_A_DAY || awaiting.has(number))) return false
      talks += 1
      awaiting.add(number)
      tell(number, body, '<')
      return true
    },
    session: (village, due, here) => {
      places.push(`${village} ${here}/${due}`)
    },
    birth: (village) => {
      born += 1
      told.push(`    * A child is born in ${village}.`)
    },
    births: () => born,
    closeDay: (day) => {
      const date = sayDay(day, { language: 'en', calendar: 'gregory' })
      const sessions = places.length === 0 ? 'no session' : `came/expected: ${places.join(', ')}`
      print(`${date} ${civilDate(day).year}  ${out} texts sent; ${sessions}`)
      for (const line of told) print(line)
      told = []
      out = 0
      talks = 0
      notices = 0
      places.length = 0
    },
  }
}

function wrapped(lead: string, body: string): string[] {
  const lines: string[] = []
  let line = lead
  for (const word of body.replaceAll('\n', ' / ').split(' ')) {
    if (line.length + word.length > WRAP && line.trim() !== '') {
      lines.push(line.trimEnd())
      line = '        '
    }
    line += `${word} `
  }
  return [...lines, line.trimEnd()]
}
