import { BIRTH, isLonger } from './length.ts'
import { readingOrder } from './compile.ts'
import type { ConditionFile, DoseRuleFile, IntervalFile, ScheduleFile, SeriesFile } from './schedule-file.ts'

/** Something wrong with a schedule file: where, and what is wrong in words. */
export interface ScheduleProblem {
  /** Like `series.OPV.doses.2`. */
  readonly path: string
  readonly message: string
}

/** What contradicts itself in a schedule file of the right shape; empty when it can be made ready. */
export function contradictions(file: ScheduleFile): ScheduleProblem[] {
  const problems = [
    ...repeated(
      'vaccines',
      file.vaccines.map(({ code }) => code),
    ),
    ...repeated(
      'series',
      file.series.map(({ id }) => id),
    ),
    ...unknownVaccines(file),
    ...retiredVaccines(file),
    ...unspacedLiveVaccines(file),
    ...file.series.flatMap((series) => seriesProblems(file, series)),
    ...adoptionProblems(file),
  ]
  if (problems.length > 0 || readingOrder(file) !== undefined) return problems
  return [
    { path: 'series', message: 'some series wait for each other in a circle, so none of them can start' },
  ]
}

function repeated(path: string, names: readonly string[]): ScheduleProblem[] {
  return names
    .filter((name, place) => names.indexOf(name) !== place)
    .map((name) => ({ path: `${path}.${name}`, message: `${name} is defined twice` }))
}

function unknownVaccines(file: ScheduleFile): ScheduleProblem[] {
  const known = new Set(file.vaccines.map(({ code }) => code))
  const named = [
    ...(file.liveSpacing?.exempt ?? []).map((code) => ({ path: 'liveSpacing.exempt', code })),
    ...file.series.flatMap((series) =>
      vaccinesNamedIn(series).map((code) => ({ path: `series.${series.id}`, code })),
    ),
  ]
  return named
    .filter(({ code }) => !known.has(code))
    .map(({ path, code }) => ({ path, message: `the vaccine ${code} is not among the schedule's vaccines` }))
}

function vaccinesNamedIn(series: SeriesFile): string[] {
  const rules = [...series.doses, ...series.variants.flatMap(({ doses }) => Object.values(doses))]
  return [
    ...series.vaccines,
    ...series.outside.flatMap(({ vaccines }) => vaccines ?? []),
    ...series.variants.flatMap(({ when }) => when.flatMap(({ products }) => products ?? [])),
    ...rules.flatMap(({ give }) => give ?? []),
    ...rules.flatMap(({ after }) => (after ?? []).flatMap(({ bothIn }) => bothIn ?? [])),
  ]
}

function retiredVaccines(file: ScheduleFile): ScheduleProblem[] {
  const retired = new Set(file.vaccines.filter((vaccine) => vaccine.retired).map(({ code }) => code))
  return file.series
    .filter((series) => series.doses.some(({ give = series.vaccines[0] ?? '' }) => retired.has(give)))
    .map(({ id }) => ({ path: `series.${id}`, message: 'it asks for a vaccine that is retired' }))
}

/** Two live vaccines by needle that share no series, and no rule that keeps them apart. */
function unspacedLiveVaccines({ vaccines, series, liveSpacing }: ScheduleFile): ScheduleProblem[] {
  if (liveSpacing !== undefined) return []
  const isGiven = (code: string): boolean => series.some((one) => one.vaccines.includes(code))
  const isFamily = (code: string, other: string): boolean =>
    series.some((one) => one.vaccines.includes(code) && one.vaccines.includes(other))
  const live = vaccines
    .filter(({ code, kind, route }) => kind === 'live' && route !== 'oral' && isGiven(code))
    .map(({ code }) => code)
  return live.flatMap((code, place) =>
    live
      .slice(place + 1)
      .filter((other) => !isFamily(code, other))
      .map((other) => ({
        path: 'liveSpacing',
        message: `${code} and ${other} are live; say how far apart they are given, or that one is exempt`,
      })),
  )
}

function seriesProblems(file: ScheduleFile, series: SeriesFile): ScheduleProblem[] {
  const path = `series.${series.id}`
  return [
    ...series.doses.flatMap((rule, place) =>
      ruleProblems(file, series, rule, { path: `${path}.doses`, number: place + 1 }),
    ),
    ...series.variants.flatMap((variant, place) => [
      ...conditionProblems(series, variant.when, `${path}.variants.${place + 1}.when`),
      ...variantProblems(file, series, place),
    ]),
  ]
}

function variantProblems(file: ScheduleFile, series: SeriesFile, place: number): ScheduleProblem[] {
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
    return []
  })
}

function ruleProblems(
  file: ScheduleFile,
  series: SeriesFile,
  rule: DoseRuleFile,
  { path, number }: { path: string; number: number },
): ScheduleProblem[] {
  const messages = [
    ...ageMessages(rule),
    ...(rule.after ?? []).flatMap((interval) => intervalMessages(file, series, interval, number)),
  ]
  return messages.map((message) => ({ path: `${path}.${number}`, message }))
}

function ageMessages({ earliest = BIRTH, due = earliest, overdue, before }: DoseRuleFile): string[] {
  const messages: string[] = []
  if (isLonger(earliest, due))
    messages.push(`it is due at ${due.text}, before its earliest age of ${earliest.text}`)
  if (before !== undefined && !isLonger(before, due))
    messages.push(`it is due at ${due.text}, but may be given only before ${before.text}`)
  if (overdue?.kind === 'age' && isLonger(due, overdue.length))
    messages.push(`it is overdue at ${overdue.length.text}, before it is due at ${due.text}`)
  return messages
}

function intervalMessages(
  file: ScheduleFile,
  series: SeriesFile,
  interval: IntervalFile,
  number: number,
): string[] {
  const { since, minimum, usual } = interval
  const messages: string[] = []
  if (usual !== undefined && isLonger(minimum, usual))
    messages.push(`its usual interval of ${usual.text} is shorter than the minimum of ${minimum.text}`)
  if (since.kind === 'own' && since.dose >= number)
    messages.push(`it is counted from dose ${since.dose}, which does not come before it`)
  if (since.kind === 'series') {
    const other = file.series.find(({ id }) => id === since.series)
    if (other === undefined)
      messages.push(`it is counted from ${since.series}, which is not a series of the schedule`)
    else if (other.id === series.id) messages.push(`write "dose ${since.dose}" for a dose of the same series`)
    else if (since.dose > other.doses.length)
      messages.push(`${since.series} has no dose ${since.dose}, so it never starts`)
  }
  return messages
}

function adoptionProblems({ adoption, series }: ScheduleFile): ScheduleProblem[] {
  if (adoption.kind !== 'without') return []
  const one = series.find(({ id }) => id === adoption.series)
  return one !== undefined && adoption.dose <= one.doses.length
    ? []
    : [{ path: 'adoption.without', message: `the schedule has no dose ${adoption.series} ${adoption.dose}` }]
}
