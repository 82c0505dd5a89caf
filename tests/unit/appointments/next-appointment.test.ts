import { readFileSync } from 'node:fs'
import { nextAppointment, vaccinesOf } from '../../../src/core/appointments/next-appointment.ts'
import type { AppointmentQuestion } from '../../../src/core/appointments/next-appointment.ts'
import { addDays, formatDay, mustParseDay as day } from '../../../src/core/days/day.ts'
import type { NextDose } from '../../../src/core/schedule/forecast-types.ts'
import type { SessionDays } from '../../../src/core/sessions/session-calendar.ts'
import { aNextDose } from '../../support/next-dose.ts'

const doses = (question: AppointmentQuestion): string => {
  const answer = nextAppointment(question)
  const listed = (rows: readonly { series: string; dose: number }[]) =>
    rows.map((row) => `${row.series} ${row.dose}`).join(', ')
  const found =
    answer.kind === 'appointment'
      ? `Visit ${formatDay(answer.on)}: ${listed(answer.doses)}.`
      : `No visit: ${answer.reason}.`
  return answer.outOfReach.length > 0 ? `${found} Out of reach: ${listed(answer.outOfReach)}.` : found
}

const sessionsOn = (...texts: string[]): SessionDays => {
  const days = texts.map(day)
  return { from: day('2026-03-01'), to: day('2026-04-05'), days }
}

interface Example {
  readonly title: string
  readonly question: AppointmentQuestion
  readonly answer: string
}

const EXAMPLE =
  /^### (.+?)\n[^#]*?Today (\S+?),(?: not before (\S+?),)? (\d+) bundling days, sessions (.+?)\.\n\n((?:\|.*\n)+)\n(.+)$/gm

/** The examples of docs/appointments.md. */
function examples(): Example[] {
  const page = readFileSync(new URL('../../../docs/appointments.md', import.meta.url), 'utf8')
  return [...page.matchAll(EXAMPLE)].map((match) => {
    const [, title = '', today = '', notBefore, bundlingDays = '', sessions = '', table = '', answer = ''] =
      match
    const question = {
      next: table.trim().split('\n').slice(2).map(readRow),
      sessions: sessionsOn(...sessions.split(' ')),
      today: day(today),
      bundlingDays: Number(bundlingDays),
      ...(notBefore === undefined ? {} : { notBefore: day(notBefore) }),
    }
    return { title, question, answer }
  })
}

function readRow(line: string): NextDose {
  const [name = '', vaccine = '', earliest = '', due = '', latest = ''] = line
    .split('|')
    .slice(1)
    .map((cell) => cell.trim())
  const [series = '', dose = ''] = name.split(' ')
  return aNextDose({
    series,
    dose: Number(dose),
    vaccine,
    earliest: day(earliest),
    due: day(due),
    latest: latest === '–' ? null : day(latest),
  })
}

describe('the examples of docs/appointments.md', () => {
  test('are all read', () => {
    const page = readFileSync(new URL('../../../docs/appointments.md', import.meta.url), 'utf8')
    const headings = page.slice(page.indexOf('## Examples')).match(/^### /gm) ?? []
    expect(examples()).toHaveLength(headings.length)
    expect(headings.length).toBeGreaterThan(10)
  })

  test.each(examples())('come out as written: $title', ({ question, answer }) => {
    expect(doses(question)).toBe(answer)
  })
})

describe('the next appointment', () => {
  const today = day('2026-03-02')
  const weekly = sessionsOn('2026-03-03', '2026-03-10', '2026-03-17', '2026-03-24')
  const ask = (next: readonly NextDose[], sessions = weekly) =>
    nextAppointment({ next, sessions, today, bundlingDays: 14 })
  const penta = aNextDose({ series: 'DTP', vaccine: 'PENTA', earliest: today, due: today })

  test('is none for a child whose series are complete', () => {
    expect(ask([])).toMatchObject({ kind: 'none', reason: 'complete' })
  })

  test('is none for a child who is too old for all that is left', () => {
    const closed = aNextDose({
      series: 'ROTA',
      earliest: day('2025-12-01'),
      due: day('2025-12-01'),
      latest: day('2026-03-01'),
      status: 'closed',
    })
    expect(ask([closed])).toMatchObject({ kind: 'none', reason: 'closed', outOfReach: [] })
  })

  test('is none where there are no sessions', () => {
    expect(ask([penta], sessionsOn())).toMatchObject({
      kind: 'none',
      reason: 'no-session-in-time',
      because: 'No session up to 2026-04-05 reaches DTP 1.',
    })
  })

  test('is none where the only dose left closes before the next session', () => {
    const rota = aNextDose({ series: 'ROTA', earliest: today, due: today, latest: today })
    expect(ask([rota])).toMatchObject({
      kind: 'none',
      reason: 'no-session-in-time',
      outOfReach: [{ series: 'ROTA', dose: 1, vaccine: 'ROTA' }],
      because: 'No session up to 2026-04-05 reaches ROTA 1 in time.',
    })
  })

  test('may be today', () => {
    expect(ask([penta], sessionsOn('2026-03-02'))).toMatchObject({ kind: 'appointment', on: today })
  })

  test('may be the very last day of a dose', () => {
    const rota = aNextDose({ series: 'ROTA', earliest: today, due: today, latest: day('2026-03-10') })
    expect(ask([rota], sessionsOn('2026-03-10'))).toMatchObject({
      kind: 'appointment',
      on: day('2026-03-10'),
    })
  })

  test('waits through the last bundling day and not one longer', () => {
    const after = (days: number) =>
      aNextDose({ series: 'MR', earliest: addDays(today, days), due: addDays(today, days) })

    expect(ask([penta, after(14)])).toMatchObject({ on: day('2026-03-17') })
    expect(ask([penta, after(15)])).toMatchObject({ on: day('2026-03-03') })
  })

  test('gives two live vaccines on one day, which needs no interval', () => {
    const live = ['MR', 'YF'].map((series) => aNextDose({ series, earliest: today, due: today }))
    expect(doses({ next: live, sessions: weekly, today, bundlingDays: 14 })).toBe(
      'Visit 2026-03-03: MR 1, YF 1.',
    )
  })

  test('says why it is that day', () => {
    const mr = aNextDose({ series: 'MR', earliest: day('2026-03-09'), due: day('2026-03-09') })
    const opv = aNextDose({ series: 'OPV', dose: 2, earliest: day('2026-01-15'), due: day('2026-01-15') })
    const rota = aNextDose({
      series: 'ROTA',
      earliest: day('2026-02-20'),
      due: day('2026-03-20'),
      latest: day('2026-03-23'),
    })

    expect(ask([penta])).toMatchObject({
      because: 'DTP 1 is due on 2026-03-02; 2026-03-03 is the first session.',
    })
    expect(ask([penta, mr])).toMatchObject({
      because: 'DTP 1 is due on 2026-03-02; 2026-03-10 is the first session that can also give MR 1.',
    })
    expect(ask([opv])).toMatchObject({
      because: 'OPV 2 has been due since 2026-01-15; 2026-03-03 is the first session.',
    })
    expect(ask([rota])).toMatchObject({
      because: 'ROTA 1 can be given until 2026-03-17 only; 2026-03-17 is the first session.',
    })
  })

  test('names a vaccine once that serves several series', () => {
    const next = ['DTP', 'HEPB', 'HIB'].map((series) =>
      aNextDose({ series, vaccine: 'PENTA', earliest: today, due: today }),
    )
    const opv = aNextDose({ series: 'OPV', vaccine: 'BOPV', earliest: today, due: today })
    const visit = ask([...next, opv])

    expect(visit.kind === 'appointment' && vaccinesOf(visit.doses)).toEqual(['PENTA', 'BOPV'])
  })
})
