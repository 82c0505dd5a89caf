/** One row of a register, one child: read whole, or refused with every problem it has. */
import { checkCardNumber } from '../card-number.ts'
import { OLDEST_AGE_DAYS } from '../children/oldest-age.ts'
import type { Day } from '../days/day.ts'
import { formatDay, parseDay } from '../days/day.ts'
import type { Sex } from '../model.ts'
import { parsePhoneNumber } from '../phone-number.ts'
import { cleanText, wordKey } from '../reading/clean-text.ts'
import type { FactColumn, RegisterColumns, RegisterProblem } from './register-columns.ts'

export interface RegisterDose {
  readonly vaccine: string
  readonly on: Day
  readonly typedNumber: number | null
}

export interface RegisterChild {
  readonly line: number
  /** `null`: one is made. */
  readonly cardNumber: string | null
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly villageId: string
  /** E.164 with "+"; `null`: a family without a phone. */
  readonly phone: string | null
  readonly language: string
  readonly doses: readonly RegisterDose[]
}

/** What a row is read against. */
export interface RegisterScope {
  readonly columns: RegisterColumns
  readonly today: Day
  /** ISO 3166-1 alpha-2; names the numbering plan. */
  readonly region: string
  /** The first is taken where the row names none. */
  readonly languages: readonly string[]
  /** Identifiers by `nameKey`. */
  readonly villages: ReadonlyMap<string, string>
}

export type RowReading =
  | { readonly kind: 'child'; readonly child: RegisterChild }
  | { readonly kind: 'refused'; readonly problems: readonly RegisterProblem[] }

/** A name as it is compared: case, accents and spacing apart. */
export function nameKey(name: string): string {
  return wordKey(cleanText(name))
}

/** Reads the cells of one row; `line` is where it stands in the file. */
export function readRow(cells: readonly string[], line: number, scope: RegisterScope): RowReading {
  const row = openRow(cells, line, scope.columns)
  const name = row.needed('name')
  const birthOn = readBirth(row, scope.today)
  const villageId = readVillage(row, scope.villages)
  const facts = {
    cardNumber: readCard(row),
    sex: readSex(row),
    phone: readPhone(row, scope.region),
    language: readLanguage(row, scope.languages),
  }
  const doses = birthOn === undefined ? [] : readDoses(row, scope, birthOn)
  const { problems } = row
  if (problems.length > 0 || birthOn === undefined || villageId === undefined)
    return { kind: 'refused', problems }
  return { kind: 'child', child: { line, name, birthOn, villageId, ...facts, doses } }
}

/** A row being read, with what was found wrong so far. */
interface OpenRow {
  readonly problems: RegisterProblem[]
  readonly cell: (place: number) => string
  readonly fact: (column: FactColumn) => string
  readonly needed: (column: FactColumn) => string
  readonly refuse: (column: string, value: string, code: string, advice: string) => void
}

/** What our own files put before a word that a spreadsheet would take for a formula. */
const KEPT_FROM_FORMULAS = /^'(?='*[=+@-])/

function openRow(cells: readonly string[], line: number, { facts, width }: RegisterColumns): OpenRow {
  const problems: RegisterProblem[] = []
  const cell = (place: number): string => cleanText(cells[place] ?? '').replace(KEPT_FROM_FORMULAS, '')
  const fact = (column: FactColumn): string => cell(facts.get(column) ?? -1)
  const refuse: OpenRow['refuse'] = (column, value, code, advice) => {
    problems.push({ line, column, value, code, advice })
  }
  const surplus = cells.slice(width).join(',')
  if (surplus !== '')
    refuse(
      '',
      surplus,
      'row-too-long',
      'The row has more cells than the first one; put a name that holds a comma in quotes.',
    )
  const needed = (column: FactColumn): string => {
    const value = fact(column)
    if (value === '') refuse(column, value, 'cell-empty', `Fill in the ${column}.`)
    return value
  }
  return { problems, cell, fact, needed, refuse }
}

function readBirth(row: OpenRow, today: Day): Day | undefined {
  const value = row.needed('birth_date')
  if (value === '') return undefined
  const birthOn = readDate(row, 'birth_date', value)
  if (birthOn === undefined) return undefined
  if (birthOn > today)
    row.refuse('birth_date', value, 'birth-in-future', 'This day is still to come; check the birth date.')
  if (today - birthOn > OLDEST_AGE_DAYS)
    row.refuse(
      'birth_date',
      value,
      'birth-too-long-ago',
      'This is more than 18 years ago; check the birth date.',
    )
  return birthOn
}

function readDate(row: OpenRow, column: string, value: string): Day | undefined {
  const day = parseDay(value)
  if (day === undefined)
    row.refuse(column, value, 'date-impossible', 'There is no such day; write it as 2026-03-31.')
  return day
}

function readVillage(row: OpenRow, villages: ReadonlyMap<string, string>): string | undefined {
  const value = row.needed('village')
  if (value === '') return undefined
  const id = villages.get(nameKey(value))
  if (id === undefined)
    row.refuse(
      'village',
      value,
      'village-unknown',
      'The district has no such village; check the name or load the village first.',
    )
  return id
}

function readCard(row: OpenRow): string | null {
  const value = row.fact('card_number')
  if (value === '') return null
  const card = checkCardNumber(value)
  if (card.kind === 'card') return card.number
  const advice =
    card.why === 'card-length'
      ? 'A card number has eight digits; check it, or leave the cell empty for a new one.'
      : 'The last digit does not fit the others; check the card, or leave the cell empty for a new number.'
  row.refuse('card_number', value, card.why, advice)
  return null
}

const SEXES: ReadonlyMap<string, Sex> = new Map([
  ['female', 'female'],
  ['f', 'female'],
  ['male', 'male'],
  ['m', 'male'],
])

function readSex(row: OpenRow): Sex | null {
  const value = row.fact('sex')
  const sex = SEXES.get(value.toLowerCase())
  if (sex === undefined && value !== '')
    row.refuse('sex', value, 'sex-unknown', 'Write female or male, or leave the cell empty.')
  return sex ?? null
}

function readPhone(row: OpenRow, region: string): string | null {
  const value = row.fact('phone')
  if (value === '') return null
  const phone = parsePhoneNumber(value, region)
  if (phone.kind === 'phone') return phone.number
  row.refuse(
    'phone',
    value,
    'phone-impossible',
    'This cannot be a phone number here; check it, or leave the cell empty.',
  )
  return null
}

function readLanguage(row: OpenRow, languages: readonly string[]): string {
  const [usual = ''] = languages
  const value = row.fact('language')
  if (value === '') return usual
  const language = languages.find((one) => one.toLowerCase() === value.toLowerCase())
  if (language === undefined)
    row.refuse(
      'language',
      value,
      'language-unknown',
      `The district speaks ${languages.join(', ')}; write one of these or leave the cell empty.`,
    )
  return language ?? usual
}

function readDoses(row: OpenRow, { columns, today }: RegisterScope, birthOn: Day): readonly RegisterDose[] {
  const titles = new Map<string, string>()
  return columns.doses.flatMap((column) =>
    daysIn(row.cell(column.place)).flatMap((value) => {
      const on = readDose(row, { title: column.title, value }, { birthOn, today })
      if (on === undefined) return []
      const key = `${column.vaccine} ${on}`
      const other = titles.get(key)
      if (other !== undefined)
        row.refuse(
          column.title,
          formatDay(on),
          'dose-repeated',
          `${other} has the same day; a vaccine is given once a day.`,
        )
      titles.set(key, column.title)
      return [{ vaccine: column.vaccine, on, typedNumber: column.typedNumber }]
    }),
  )
}

/** A cell may hold several days of one vaccine, parted by spaces or semicolons. */
function daysIn(cell: string): string[] {
  if (cell === '') return []
  return /^[\d-]+([\s;]+[\d-]+)+$/.test(cell) ? cell.split(/[\s;]+/) : [cell]
}

function readDose(
  row: OpenRow,
  { title, value }: { readonly title: string; readonly value: string },
  { birthOn, today }: { readonly birthOn: Day; readonly today: Day },
): Day | undefined {
  const on = readDate(row, title, value)
  if (on === undefined) return undefined
  if (on < birthOn)
    row.refuse(
      title,
      value,
      'dose-before-birth',
      `This is before the birth on ${formatDay(birthOn)}; check both days.`,
    )
  if (on > today)
    row.refuse(
      title,
      value,
      'dose-in-future',
      'This day is still to come; write the day on which the dose was given.',
    )
  return on
}
