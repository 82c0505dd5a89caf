/** What a reader of figures chooses, as it stands in addresses and forms. */
import { z } from 'zod'
import { PLAIN_CHOICE, windowNamed, windowNames } from '../../app/pages/figure-choice.ts'
import type { FigureChoice, WindowName } from '../../app/pages/figure-choice.ts'
import type { DistrictScope } from '../../app/pages/district-scope.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import { dayText } from './words.ts'

const windowName = z
  .string()
  .regex(/^(twelve-months|this-year|born-\d{4})$/)
  // The pattern is the type's own.
  .transform((name) => name as WindowName)

/** A choice that makes no sense is the plain one: an old link still shows figures. */
const choiceQuery = z.object({
  window: windowName.catch(PLAIN_CHOICE.window),
  age: z.enum(['12m', '24m', 'any']).catch(PLAIN_CHOICE.byAge),
  measure: z.enum(['crude', 'valid', 'timely']).catch(PLAIN_CHOICE.measure),
  target: z.enum(['administrative', 'enrolled']).catch(PLAIN_CHOICE.denominator),
})

export function choiceOf(query: unknown): FigureChoice {
  const { window, age, measure, target } = choiceQuery.parse(query)
  return { window, byAge: age, measure, denominator: target }
}

/** The choice as it stands in an address. */
export function choiceParams(choice: FigureChoice): Readonly<Record<string, string>> {
  const { window, byAge, measure, denominator } = choice
  return { window, age: byAge, measure, target: denominator }
}

interface Option {
  readonly value: string
  readonly name: string
}

/** A list to choose from, with its label. */
export function selectField(
  { id, label }: { readonly id: string; readonly label: string },
  options: readonly Option[],
  chosen: string,
): Markup {
  return html`<div>
    <label for="${id}">${label}</label>
    <select id="${id}" name="${id}">
      ${options.map(
        ({ value, name }) =>
          html`<option value="${value}" ${value === chosen ? html`selected` : null}>${name}</option>`,
      )}
    </select>
  </div>`
}

const MEASURES: readonly Option[] = [
  { value: 'crude', name: 'on record (crude)' },
  { value: 'valid', name: 'valid' },
  { value: 'timely', name: 'valid, in time' },
]
const TARGETS: readonly Option[] = [
  { value: 'administrative', name: 'the stated target' },
  { value: 'enrolled', name: 'the register' },
]
const AGES: readonly Option[] = [
  { value: 'any', name: 'at any age' },
  { value: '12m', name: 'before age 1' },
  { value: '24m', name: 'before age 2' },
]

/** The fields of the choice; the form around them is the page's. */
export function choiceFields({ today }: DistrictScope, choice: FigureChoice): Markup {
  const windows = windowNames(today).map((value) => ({ value, name: windowWords(value) }))
  return html`${selectField({ id: 'window', label: 'Doses of' }, windows, choice.window)}
  ${selectField({ id: 'age', label: 'Given' }, AGES, choice.byAge)}
  ${selectField({ id: 'measure', label: 'Counted' }, MEASURES, choice.measure)}
  ${selectField({ id: 'target', label: 'Against' }, TARGETS, choice.denominator)}`
}

function windowWords(name: WindowName): string {
  if (name === 'twelve-months') return 'twelve months'
  if (name === 'this-year') return 'this year so far'
  return `children born in ${name.slice('born-'.length)}`
}

/** The choice as a sentence: what is counted, of whom, against what. */
export function choiceWords({ district, today }: DistrictScope, choice: FigureChoice): string {
  const window = windowNamed(choice.window, today)
  const counted = { crude: 'Doses on record', valid: 'Valid doses', timely: 'Doses given in time' }
  const whose =
    window.kind === 'period'
      ? `given from ${dayText(district, window.fromOn)} to ${dayText(district, window.toOn)}`
      : window.kind === 'cohort'
        ? `of children born in ${window.birthYear}`
        : 'of all children'
  const age = { any: '', '12m': ', before the first birthday', '24m': ', before the second birthday' }
  const against =
    choice.denominator === 'enrolled'
      ? 'the children on the register'
      : window.kind === 'period'
        ? 'that share of the yearly target'
        : 'the target of one year'
  return `${counted[choice.measure]} ${whose}${age[choice.byAge]}, against ${against}.`
}
