import type { Command } from 'commander'
import { z } from 'zod'
import { formatDay, mustParseDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'
import { assumedBirth } from '../../core/schedule/assumed-birth.ts'
import { explain } from '../../core/schedule/explain.ts'
import type { Explanation } from '../../core/schedule/explain.ts'
import { forecast } from '../../core/schedule/forecast.ts'
import { forecastJson } from '../../core/schedule/forecast-json.ts'
import type { ChildFacts } from '../../core/schedule/forecast-types.ts'
import type { ForecastJson } from '../../core/schedule/forecast-json.ts'
import type { Schedule } from '../../core/schedule/schedule.ts'
import { answerLines, LineProblem, provenLine } from '../ndjson.ts'
import { DEFAULT_SCHEDULE, loadSchedule } from '../schedules.ts'

const day = z.iso.date('write a day like 2026-01-31').transform(mustParseDay)
const BIRTH_DATE = 'write a day like 2026-01-31, or a month like 2026-01 where the day is not known'
const yearMonth = z.string().regex(/^\d{4}-(0[1-9]|1[0-2])$/, BIRTH_DATE)

const Line = z.object({
  id: z.unknown().optional(),
  birthDate: z.union([day, yearMonth], BIRTH_DATE),
  asOf: day,
  sex: z.enum(['female', 'male']).nullish(),
  birthWeightGrams: z.number().positive().nullish(),
  flags: z.array(z.string()).nullish(),
  given: z.array(z.object({ vaccine: z.string(), date: day })).nullish(),
  schedule: z.string().nullish(),
})

/** `duebell forecast`: what counts of the doses given to children, and what comes next. */
export function addForecastCommand(program: Command): void {
  program
    .command('forecast')
    .description('Judges given doses and dates the next ones: JSON lines in, JSON lines out.')
    .option('--schedule <id or file>', 'for lines that name no schedule of their own', DEFAULT_SCHEDULE)
    .option('--explain', 'adds "because" to each verdict and date: the rule and the arithmetic', false)
    .action(async (options: Options) => {
      const schedules = new Map([[options.schedule, loadSchedule(options.schedule)]])
      await answerLines(process.stdin, process.stdout, (value) => answer(value, options, schedules))
    })
}

interface Options {
  readonly schedule: string
  readonly explain: boolean
}

function answer(value: unknown, options: Options, schedules: Map<string, Schedule>): unknown {
  const line = provenLine(Line, value)
  const { id, schedule, asOf } = line
  const child = childOf(line)
  const rules = scheduleNamed(schedule ?? options.schedule, schedules)
  const made = forecast(rules, child, asOf)
  const written = forecastJson(made)
  return {
    id: id ?? null,
    ...(typeof line.birthDate === 'string' ? { assumed: { birthDate: formatDay(child.birthOn) } } : {}),
    ...(options.explain ? withReasons(written, explain(rules, child, made)) : written),
  }
}

function childOf({
  birthDate,
  asOf,
  sex,
  birthWeightGrams,
  flags,
  given,
}: z.output<typeof Line>): ChildFacts {
  const birthOn = typeof birthDate === 'string' ? assumedBirth(birthDate, asOf) : birthDate
  if (birthOn === undefined || birthOn > asOf)
    throw new LineProblem('birth-in-future', 'The birth date is after "asOf"; correct one of them.')
  return {
    birthOn,
    ...(sex == null ? {} : { sex }),
    ...(birthWeightGrams == null ? {} : { birthWeightGrams }),
    ...(flags == null ? {} : { flags }),
    given: (given ?? []).map(({ vaccine, date }) => ({ vaccine, on: date })),
  }
}

function withReasons({ given, next, complete }: ForecastJson, because: Explanation): object {
  return {
    given: given.map((dose, place) => ({
      ...dose,
      counts: dose.counts.map((verdict, series) => ({ ...verdict, because: because.given[place]?.[series] })),
    })),
    next: next.map((row, place) => ({ ...row, because: because.next[place] })),
    complete,
  }
}

function scheduleNamed(name: string, schedules: Map<string, Schedule>): Schedule {
  const known = schedules.get(name)
  if (known !== undefined) return known
  try {
    const schedule = loadSchedule(name)
    schedules.set(name, schedule)
    return schedule
  } catch (error) {
    if (error instanceof Refusal) throw new LineProblem(error.code, error.detail)
    throw error
  }
}
