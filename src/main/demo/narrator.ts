import { civilDate } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { sayDay } from '../../core/texts/say-day.ts'

/** Tells the story on the terminal: the days, the sessions, and the texts of a few families in full. */
export interface Narrator {
  /** A text that reached a phone. */
  readonly textTo: (number: string, body: string) => void
  /** A text that someone wrote. */
  readonly textFrom: (number: string, body: string) => void
  readonly session: (village: string, expected: number, came: number) => void
  readonly birth: (village: string) => void
  readonly births: () => number
  readonly closeDay: (day: Day) => void
}

export interface NarratorOptions {
  readonly print: (line: string) => void
  /** Whose texts are told in full, and how they are called. */
  readonly heroes: ReadonlyMap<string, string>
  /** A text is told as well when it names one of these. */
  readonly cards: readonly string[]
}

const WRAP = 92

export function openNarrator({ print, heroes, cards }: NarratorOptions): Narrator {
  let born = 0
  let told: string[] = []
  let out = 0
  const places: string[] = []

  function tell(number: string, body: string, arrow: string): void {
    const names = cards.some((card) => body.replaceAll(' ', '').includes(card))
    const who = heroes.get(number)
    if (who === undefined && !names) return
    told.push(...wrapped(`    ${arrow} ${who ?? number}: `, body))
  }

  return {
    textTo: (number, body) => {
      out += 1
      tell(number, body, '>')
    },
    textFrom: (number, body) => {
      tell(number, body, '<')
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
