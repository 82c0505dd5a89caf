import { readingOrder } from './compile.ts'
import { isAtMost } from './length.ts'
import { ruleProblems } from './rule-contradictions.ts'
import type { ScheduleFile, SeriesFile } from './schedule-file.ts'
import type { ScheduleProblem } from './schedule-problem.ts'
import { variantProblems } from './variant-contradictions.ts'

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
    ...variantProblems(file, series),
    ...spacingProblems(file, series),
    ...restartProblems(series),
  ]
}

/** Live vaccines by needle of one series that nothing keeps apart: a late child would have them on two days running. */
function spacingProblems(
  { vaccines }: ScheduleFile,
  { id, vaccines: own, doses }: SeriesFile,
): ScheduleProblem[] {
  const needsTime = (code = ''): boolean =>
    vaccines.some((one) => one.code === code && one.kind === 'live' && one.route !== 'oral')
  return doses.flatMap(({ give = own[0], after = [] }, place) => {
    const waits = after.some(({ since }) => since.kind === 'previous' || since.kind === 'own')
    if (place === 0 || waits || !needsTime(give)) return []
    const message = `${give} is live; say how long it is given "after" the dose before`
    return [{ path: `series.${id}.doses.${place + 1}`, message }]
  })
}

/** A series that starts again before its next dose may be given. */
function restartProblems({ id, restartAfter, doses }: SeriesFile): ScheduleProblem[] {
  if (restartAfter === undefined) return []
  return doses.flatMap(({ after = [] }, place) =>
    after
      .filter(({ since, minimum }) => since.kind === 'previous' && isAtMost(restartAfter, minimum))
      .map(({ minimum }) => ({
        path: `series.${id}.doses.${place + 1}`,
        message: `it is given after ${minimum.text}, but after ${restartAfter.text} the series starts again`,
      })),
  )
}

function adoptionProblems({ adoption, series }: ScheduleFile): ScheduleProblem[] {
  if (adoption.kind !== 'without') return []
  const one = series.find(({ id }) => id === adoption.series)
  return one !== undefined && adoption.dose <= one.doses.length
    ? []
    : [{ path: 'adoption.without', message: `the schedule has no dose ${adoption.series} ${adoption.dose}` }]
}
