/** What the columns of a register mean: facts of the child by name, doses by the codes of the schedule. */
import type { Schedule } from '../schedule/schedule.ts'

/** Columns about the child; `name`, `birth_date` and `village` must be there. */
export const FACT_COLUMNS = [
  'card_number',
  'name',
  'sex',
  'birth_date',
  'village',
  'phone',
  'language',
] as const
export type FactColumn = (typeof FACT_COLUMNS)[number]
const REQUIRED_COLUMNS: readonly FactColumn[] = ['name', 'birth_date', 'village']

/** A column of dates on which a dose was given. */
export interface DoseColumn {
  readonly place: number
  /** As the file writes it. */
  readonly title: string
  readonly vaccine: string
  /** The number in the title; history numbers the dose, this is kept beside it. */
  readonly typedNumber: number | null
}

/** Something that cannot be taken over, where it stands and what to do. */
export interface RegisterProblem {
  readonly line: number
  readonly column: string
  readonly value: string
  /** A code, kebab-case, never renamed. */
  readonly code: string
  readonly advice: string
}

export interface RegisterColumns {
  readonly width: number
  /** Place of each fact; absent where the file has no such column. */
  readonly facts: ReadonlyMap<FactColumn, number>
  readonly doses: readonly DoseColumn[]
  readonly problems: readonly RegisterProblem[]
  /** Needed columns that the file lacks; a register with any cannot be read. */
  readonly missing: readonly FactColumn[]
}

/** Reads the first row. Unknown and repeated columns are problems and are passed over. */
export function readColumns(titles: readonly string[], line: number, schedule: Schedule): RegisterColumns {
  const facts = new Map<FactColumn, number>()
  const doses: DoseColumn[] = []
  const problems: RegisterProblem[] = []
  const seen = new Set<string>()
  for (const [place, title] of titles.entries()) {
    const problem = (code: string, advice: string): void => {
      problems.push({ line, column: title, value: title, code, advice })
    }
    const fact = factColumn(title)
    const dose = fact === undefined ? doseColumn(title, schedule) : undefined
    const meaning = fact ?? (dose === undefined ? undefined : `${dose.vaccine} ${dose.typedNumber ?? ''}`)
    if (meaning === undefined) {
      if (title.trim() !== '') problem('column-unknown', unknownAdvice(schedule))
    } else if (seen.has(meaning)) {
      problem('column-repeated', 'Another column says the same; keep one of them.')
    } else {
      seen.add(meaning)
      if (fact !== undefined) facts.set(fact, place)
      if (dose !== undefined) doses.push({ place, title: title.trim(), ...dose })
    }
  }
  return {
    width: titles.length,
    facts,
    doses,
    problems,
    missing: REQUIRED_COLUMNS.filter((column) => !facts.has(column)),
  }
}

function factColumn(title: string): FactColumn | undefined {
  const name = title
    .trim()
    .toLowerCase()
    .replace(/[\s-]+/g, '_')
  return FACT_COLUMNS.find((column) => column === name)
}

function unknownAdvice(schedule: Schedule): string {
  const codes = [...schedule.vaccines.keys()].join(', ')
  return `Nothing in this column was taken over. Name a dose by vaccine or series and number, as PENTA1; vaccines are ${codes}.`
}

type DoseMeaning = Pick<DoseColumn, 'vaccine' | 'typedNumber'>

/**
 * A number at the end is the dose number where the schedule has such a dose, else part of the code (HEPB0). With a
 * colon the vaccine stands before it: ROTA2:1 is the first dose of ROTA2.
 */
export function doseColumn(title: string, schedule: Schedule): DoseMeaning | undefined {
  const [, vaccine = '', number = ''] = /^([^:]+):(\d?)$/.exec(title.toUpperCase().replace(/\s+/g, '')) ?? []
  if (schedule.vaccines.has(vaccine)) return { vaccine, typedNumber: number === '' ? null : Number(number) }
  const code = title.toUpperCase().replace(/[\s_-]+/g, '')
  const [, stem = '', digits = ''] = /^(.*?)(\d+)$/.exec(code) ?? []
  const numbered = stem === '' ? undefined : numberedDose(stem, Number(digits), schedule)
  return numbered ?? plainDose(code, schedule)
}

function numberedDose(stem: string, number: number, schedule: Schedule): DoseMeaning | undefined {
  const vaccine = schedule.vaccines.get(stem)
  const series = schedule.series.filter((one) =>
    vaccine === undefined ? one.id === stem : one.vaccines.includes(vaccine.code),
  )
  for (const { doses, outside, vaccines } of series) {
    const rule = doses.find((dose) => dose.number === number)
    // Dose 0 is one that the series has outside its numbering: OPV0 at birth, MR0 before nine months.
    if (rule === undefined && !(number === 0 && outside.length > 0)) continue
    const code = vaccine?.code ?? rule?.give.code ?? vaccines[0]
    if (code !== undefined) return { vaccine: code, typedNumber: number }
  }
  return undefined
}

function plainDose(code: string, schedule: Schedule): DoseMeaning | undefined {
  const series = schedule.series.find((one) => one.id === code)
  const vaccine = schedule.vaccines.get(code)?.code ?? series?.doses[0]?.give.code
  return vaccine === undefined ? undefined : { vaccine, typedNumber: null }
}
