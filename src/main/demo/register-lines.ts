import type { RegisterLine } from '../../app/import-register.ts'
import { formatDay } from '../../core/days/day.ts'
import type { DemoChild } from './scenario.ts'

const FACTS = ['card_number', 'name', 'sex', 'birth_date', 'village', 'phone', 'language'] as const

interface DoseColumn {
  readonly vaccine: string
  /** First, second… dose of that vaccine. */
  readonly number: number
}

/** The invented children as the register file a district would bring: one row a child, a column for each dose. */
export async function* registerLines(children: readonly DemoChild[]): AsyncGenerator<RegisterLine> {
  const columns = doseColumns(children)
  yield await Promise.resolve({ line: 1, cells: [...FACTS, ...columns.map(titleOf)] })
  for (const [index, child] of children.entries()) {
    yield { line: index + 2, cells: [...factsOf(child), ...columns.map((column) => dayIn(child, column))] }
  }
}

/** As many columns of each vaccine as some child has had doses of it. */
function doseColumns(children: readonly DemoChild[]): DoseColumn[] {
  const most = new Map<string, number>()
  for (const { given } of children) {
    for (const { vaccine } of given) {
      const count = given.filter((dose) => dose.vaccine === vaccine).length
      most.set(vaccine, Math.max(most.get(vaccine) ?? 0, count))
    }
  }
  return [...most].flatMap(([vaccine, count]) =>
    Array.from({ length: count }, (_, index) => ({ vaccine, number: index + 1 })),
  )
}

function titleOf({ vaccine, number }: DoseColumn): string {
  return `${vaccine} ${number}`
}

function dayIn(child: DemoChild, { vaccine, number }: DoseColumn): string {
  const given = child.given.filter((dose) => dose.vaccine === vaccine)[number - 1]
  return given === undefined ? '' : formatDay(given.on)
}

function factsOf(child: DemoChild): string[] {
  const { cardNumber, name, sex, birthOn, village, phone, language } = child
  return [cardNumber, name, sex, formatDay(birthOn), village, phone ?? '', language]
}
