import { isAtMost } from './length.ts'
import type { Length } from './length.ts'
import { ruleProblems } from './rule-contradictions.ts'
import type { ConditionFile, FactsFile, ScheduleFile, SeriesFile } from './schedule-file.ts'
import type { ScheduleProblem } from './schedule-problem.ts'

/** What contradicts itself in the variants of a series. */
export function variantProblems(file: ScheduleFile, series: SeriesFile): ScheduleProblem[] {
  return series.variants.flatMap((variant, place) => [
    ...conditionProblems(series, variant.when, `series.${series.id}.variants.${place + 1}.when`),
    ...doseProblems(file, series, place),
    ...reachProblems(series, place),
    ...shadowProblems(series, place),
  ])
}

function doseProblems(file: ScheduleFile, series: SeriesFile, place: number): ScheduleProblem[] {
  const variant = series.variants[place]
  if (variant === undefined) return []
  const path = `series.${series.id}.variants.${place + 1}`
  const total = variant.total ?? series.doses.length
  if (total > series.doses.length)
    return [{ path: `${path}.total`, message: `the series has rules for ${series.doses.length} doses only` }]
  return Object.entries(variant.doses).flatMap(([number, rule]) => {
    const plain = series.doses[Number(number) - 1]
    return plain === undefined || Number(number) > total
      ? [{ path: `${path}.doses.${number}`, message: 'there is no such dose here' }]
      : ruleProblems(file, series, { ...plain, ...rule }, { path: `${path}.doses`, number: Number(number) })
  })
}

function conditionProblems(
  series: SeriesFile,
  when: readonly ConditionFile[],
  path: string,
): ScheduleProblem[] {
  return when.flatMap(({ dose, from, before, gap }) => {
    if (dose === undefined && (from ?? before ?? gap) !== undefined)
      return [{ path, message: 'say of which "dose" the age or gap is meant' }]
    if (dose !== undefined && dose > series.doses.length)
      return [{ path, message: `the series has no dose ${dose}` }]
    if (gap !== undefined && dose === 1)
      return [{ path, message: 'dose 1 has no dose before it to leave a gap from' }]
    if (from !== undefined && before !== undefined && isAtMost(before, from))
      return [{ path, message: `nothing is given from ${from.text} and before ${before.text}` }]
    return []
  })
}

/** Doses whose time is over before the dose is given on which the variant depends. */
function reachProblems({ id, doses, variants }: SeriesFile, place: number): ScheduleProblem[] {
  const variant = variants[place]
  if (variant === undefined) return []
  const rules = doses
    .slice(0, variant.total)
    .map((rule, index) => ({ ...rule, ...variant.doses[String(index + 1)], number: index + 1 }))
  return variant.when.flatMap(({ dose = 0, from }) =>
    rules.flatMap(({ number, before }) =>
      from === undefined || before === undefined || number <= dose || !isAtMost(before, from)
        ? []
        : [
            {
              path: `series.${id}.variants.${place + 1}.doses.${number}`,
              message: `it may be given only before ${before.text}, but follows a dose given from ${from.text}`,
            },
          ],
    ),
  )
}

/** A variant that never comes into force, as an earlier one holds whenever it does. */
function shadowProblems({ id, variants }: SeriesFile, place: number): ScheduleProblem[] {
  const own = variants[place]?.when ?? []
  const before = variants
    .slice(0, place)
    .findIndex(({ when }) => when.every((wide) => own.some((narrow) => isImplied(wide, narrow))))
  if (before < 0) return []
  const message = `variant ${before + 1} holds whenever it does, so it never comes into force; put it first`
  return [{ path: `series.${id}.variants.${place + 1}`, message }]
}

/** Whether a condition holds wherever a narrower one does. */
function isImplied(wide: ConditionFile, narrow: ConditionFile): boolean {
  return (
    (wide.dose === undefined || wide.dose === narrow.dose) &&
    startsNoLater(wide.from, narrow.from) &&
    startsNoLater(wide.gap, narrow.gap) &&
    (wide.before === undefined || (narrow.before !== undefined && isAtMost(narrow.before, wide.before))) &&
    (wide.products === undefined || narrow.products?.every((one) => wide.products?.includes(one)) === true) &&
    areImplied(wide, narrow)
  )
}

function startsNoLater(wide: Length | undefined, narrow: Length | undefined): boolean {
  return wide === undefined || (narrow !== undefined && isAtMost(wide, narrow))
}

function areImplied(wide: FactsFile, narrow: FactsFile): boolean {
  return (
    (wide.sex === undefined || wide.sex === narrow.sex) &&
    (wide.flag === undefined || wide.flag === narrow.flag) &&
    (wide.birthWeightBelow ?? Infinity) >= (narrow.birthWeightBelow ?? Infinity) &&
    (wide.birthWeightFrom ?? -Infinity) <= (narrow.birthWeightFrom ?? -Infinity)
  )
}
