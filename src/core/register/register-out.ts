/** A register as it goes out: the rows and columns that import takes, so that what went out comes in unchanged. */
import { formatDay } from '../days/day.ts'
import type { Day } from '../days/day.ts'
import type { Sex } from '../model.ts'
import type { Schedule } from '../schedule/schedule.ts'
import { doseColumn, FACT_COLUMNS } from './register-columns.ts'

/** A child as its row tells it. */
export interface ChildOut {
  readonly cardNumber: string
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly village: string
  readonly phone: string | null
  readonly language: string | null
  /** Routine doses, in any order. */
  readonly doses: readonly { readonly vaccine: string; readonly on: Day }[]
}

/** Where the doses of a vaccine go, the first in the first place; the last place takes all that are left. */
interface VaccineColumns {
  readonly vaccine: string
  readonly titles: readonly string[]
}

/** The columns of a schedule's register. */
export interface RegisterSheet {
  readonly titles: readonly string[]
  readonly vaccines: readonly VaccineColumns[]
}

/** Plans the columns: every vaccine of the schedule with its numbered doses, and one for doses beyond them. */
export function registerSheet(schedule: Schedule): RegisterSheet {
  const vaccines = [...schedule.vaccines.keys()].map((vaccine) => ({
    vaccine,
    titles: [...numberedTitles(vaccine, schedule), titleOf(vaccine, null, schedule)],
  }))
  return { titles: [...FACT_COLUMNS, ...vaccines.flatMap(({ titles }) => titles)], vaccines }
}

/** More doses of one vaccine than any schedule numbers. */
const MOST_NUMBERED = 9

function numberedTitles(vaccine: string, schedule: Schedule): string[] {
  const titles: string[] = []
  for (let number = 1; number <= MOST_NUMBERED; number += 1) {
    const title = titleOf(vaccine, number, schedule)
    if (doseColumn(title, schedule)?.typedNumber !== number) break
    titles.push(title)
  }
  return titles
}

/** PENTA1; with a colon, ROTA2:1, where the short title would be read as something else. */
function titleOf(vaccine: string, number: number | null, schedule: Schedule): string {
  const short = `${vaccine}${number ?? ''}`
  const meaning = doseColumn(short, schedule)
  const isPlain = meaning?.vaccine === vaccine && meaning.typedNumber === number
  return isPlain ? short : `${vaccine}:${number ?? ''}`
}

/** The cells of a child; doses beyond the numbered ones share a cell, parted by spaces. */
export function registerCells({ vaccines }: RegisterSheet, child: ChildOut): string[] {
  const facts = [
    child.cardNumber,
    child.name,
    child.sex ?? '',
    formatDay(child.birthOn),
    child.village,
    child.phone ?? '',
    child.language ?? '',
  ]
  const doses = vaccines.flatMap(({ vaccine, titles }) => {
    const days = child.doses
      .filter((dose) => dose.vaccine === vaccine)
      .map(({ on }) => on)
      .toSorted((a, b) => a - b)
      .map(formatDay)
    const numbered = titles.length - 1
    return [...titles.slice(0, numbered).map((_, place) => days[place] ?? ''), days.slice(numbered).join(' ')]
  })
  return [...facts, ...doses]
}
