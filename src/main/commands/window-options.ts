import { type Command, InvalidArgumentError, Option } from 'commander'
import { windowOf } from '../../core/coverage/report-window.ts'
import type { ReportWindow, WindowWish } from '../../core/coverage/report-window.ts'
import type { Day } from '../../core/days/day.ts'
import { parseDay } from '../../core/days/day.ts'
import { Refusal } from '../../core/refusals.ts'

/** Which district a report is about, and which of its doses. */
export interface WindowOptions extends WindowWish {
  readonly district?: string
}

/** Adds the options by which every report names its district and its window. */
export function addWindowOptions(command: Command): Command {
  return command
    .option('--district <name>', 'the district; needed where there are several')
    .addOption(
      new Option('--cohort <year>', 'children born in this year; without it or a period, the whole register')
        .argParser(readYear)
        .conflicts(['from', 'to']),
    )
    .addOption(new Option('--from <day>', 'doses given from this day on, as 2026-01-31').argParser(readDay))
    .addOption(new Option('--to <day>', 'doses given up to this day, itself included').argParser(readDay))
}

function readYear(text: string): number {
  if (!/^[12]\d{3}$/.test(text)) throw new InvalidArgumentError('Write a year as 2025.')
  return Number(text)
}

function readDay(text: string): Day {
  const day = parseDay(text)
  if (day === undefined) throw new InvalidArgumentError('Write a day as 2026-01-31.')
  return day
}

/** @throws {Refusal} input-invalid */
export function windowAsked(options: WindowOptions): ReportWindow {
  const window = windowOf(options)
  if (window !== undefined) return window
  throw new Refusal(
    'input-invalid',
    'A period has a first and a last day: give --from and --to, in this order.',
  )
}
