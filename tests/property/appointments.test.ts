import fc from 'fast-check'
import { nextAppointment } from '../../src/core/appointments/next-appointment.ts'
import type { AppointmentQuestion, Visit } from '../../src/core/appointments/next-appointment.ts'
import { addDays, mustParseDay } from '../../src/core/days/day.ts'
import type { Day } from '../../src/core/days/day.ts'
import type { NextDose } from '../../src/core/schedule/forecast-types.ts'
import { aNextDose } from '../support/next-dose.ts'

const TODAY = mustParseDay('2026-03-02')
const HORIZON = addDays(TODAY, 150)
const RUNS = { numRuns: 1000 }

const around = (min: number, max: number): fc.Arbitrary<Day> =>
  fc.integer({ min, max }).map((days) => addDays(TODAY, days))

const sessionDays = fc
  .uniqueArray(around(-20, 150), { maxLength: 25 })
  .map((days) => days.toSorted((a, b) => a - b))

const doseFacts = fc.record({
  earliest: around(-60, 120),
  dueAfter: fc.integer({ min: 0, max: 40 }),
  latestAfter: fc.option(fc.integer({ min: 0, max: 90 })),
})

const rows = (withLatest: boolean): fc.Arbitrary<NextDose[]> =>
  fc.array(doseFacts, { maxLength: 7 }).map((facts) =>
    facts.map(({ earliest, dueAfter, latestAfter }, index) =>
      aNextDose({
        series: `S${index}`,
        earliest,
        due: addDays(earliest, dueAfter),
        latest: latestAfter === null || !withLatest ? null : addDays(earliest, dueAfter + latestAfter),
      }),
    ),
  )

const questions = (withLatest = true): fc.Arbitrary<AppointmentQuestion> =>
  fc.record({
    next: rows(withLatest),
    sessions: sessionDays.map((days) => ({ from: addDays(TODAY, -20), to: HORIZON, days })),
    today: fc.constant(TODAY),
    bundlingDays: fc.integer({ min: 0, max: 28 }),
  })

/** Sessions from a day on at which a row may be given, by the words of the rule alone. */
const sessionsFor = ({ sessions }: AppointmentQuestion, row: NextDose, from: Day): Day[] =>
  sessions.days.filter(
    (day) => day >= from && day >= row.earliest && (row.latest === null || day <= row.latest),
  )

const closesInSight = (row: NextDose): boolean => row.latest !== null && row.latest <= HORIZON

/** The due day, or the last session before the latest day where none lies between. */
const wantedOn = (question: AppointmentQuestion, row: NextDose): Day => {
  const last = sessionsFor(question, row, question.sessions.from).at(-1)
  return closesInSight(row) && last !== undefined && last < row.due ? last : row.due
}

/** Lost once `day` has passed: there is no session left for it, and no later timetable can bring one. */
const isLostAfter = (question: AppointmentQuestion, row: NextDose, day: Day): boolean =>
  closesInSight(row) && sessionsFor(question, row, addDays(day, 1)).length === 0

const includes = (visit: Visit, row: NextDose): boolean =>
  visit.doses.some(({ series }) => series === row.series)

/** Checks a law on every question that has a visit. */
const forEveryVisit = (law: (visit: Visit, question: AppointmentQuestion) => void): void => {
  fc.assert(
    fc.property(questions(), (question) => {
      const answer = nextAppointment(question)
      if (answer.kind === 'appointment') law(answer, question)
    }),
    RUNS,
  )
}

describe('the next appointment', () => {
  test('is a session, not before today, with something to give', () => {
    forEveryVisit((visit, { sessions, today }) => {
      expect(sessions.days).toContain(visit.on)
      expect(visit.on).toBeGreaterThanOrEqual(today)
      expect(visit.doses).not.toHaveLength(0)
    })
  })

  test('gives no dose before its earliest or after its latest day', () => {
    forEveryVisit((visit, { next }) => {
      for (const row of next.filter((each) => includes(visit, each))) {
        expect(visit.on).toBeGreaterThanOrEqual(row.earliest)
        expect(visit.on).toBeLessThanOrEqual(row.latest ?? Infinity)
      }
    })
  })

  test('leaves out no dose that may be given that day and is due within the bundling days after it', () => {
    forEveryVisit((visit, { next, bundlingDays }) => {
      const left = next.filter((row) => !includes(visit, row))
      const givable = left.filter((row) => row.earliest <= visit.on && (row.latest ?? Infinity) >= visit.on)
      expect(givable.filter((row) => row.due <= addDays(visit.on, bundlingDays))).toEqual([])
    })
  })

  test('spares a second trip for every dose due within the bundling days, unless another would be lost', () => {
    forEveryVisit((visit, question) => {
      const { next, today, bundlingDays } = question
      const inReach = next.filter((row) => sessionsFor(question, row, today).length > 0)
      const firstWantedOn = Math.min(...inReach.map((row) => wantedOn(question, row)))
      const left = inReach.filter(
        (row) => wantedOn(question, row) <= firstWantedOn + bundlingDays && !includes(visit, row),
      )
      for (const row of left) {
        const [soonest] = sessionsFor(question, row, visit.on)
        const wouldLose = (other: NextDose): boolean =>
          soonest !== undefined && isLostAfter(question, other, addDays(soonest, -1))
        expect(soonest === undefined || inReach.some(wouldLose)).toBe(true)
      }
    })
  })

  test('loses no dose by waiting: what is within reach is given or can still be given afterwards', () => {
    forEveryVisit((visit, question) => {
      const inReach = question.next.filter((row) => sessionsFor(question, row, question.today).length > 0)
      const notGiven = inReach.filter((row) => !includes(visit, row))
      expect(notGiven.filter((row) => isLostAfter(question, row, visit.on))).toEqual([])
    })
  })

  test('reports exactly the doses that no session reaches', () => {
    fc.assert(
      fc.property(questions(), (question) => {
        const open = question.next.filter((row) => (row.latest ?? Infinity) >= question.today)
        const unreached = open.filter(
          (row) => closesInSight(row) && sessionsFor(question, row, question.today).length === 0,
        )
        expect(nextAppointment(question).outOfReach.map(({ series }) => series)).toEqual(
          unreached.map(({ series }) => series),
        )
      }),
      RUNS,
    )
  })

  test('keeps no dose waiting past the first session after its due day and the bundling days', () => {
    forEveryVisit((visit, { next, sessions, today, bundlingDays }) => {
      for (const { due } of next.filter((row) => includes(visit, row))) {
        const patience = Math.max(due + bundlingDays, today)
        expect(visit.on).toBeLessThanOrEqual(sessions.days.find((day) => day >= patience) ?? HORIZON)
      }
    })
  })

  test('is there whenever a session can give a dose that is due by then', () => {
    fc.assert(
      fc.property(questions(), (question) => {
        const { next, today } = question
        const hasOne = next.some((row) => sessionsFor(question, row, today).some((day) => day >= row.due))
        if (hasOne) expect(nextAppointment(question).kind).toBe('appointment')
      }),
      RUNS,
    )
  })

  test('stays the same when asked again on any day up to the visit', () => {
    fc.assert(
      fc.property(questions(), fc.nat(), (question, seed) => {
        const first = nextAppointment(question)
        if (first.kind === 'none') return
        const today = addDays(TODAY, seed % (first.on - TODAY + 1))
        const again = nextAppointment({ ...question, today })
        expect(again).toMatchObject({ kind: 'appointment', on: first.on, doses: first.doses })
      }),
      RUNS,
    )
  })

  test('does not depend on the order of the forecast', () => {
    const shuffled = questions().chain((question) =>
      fc.tuple(
        fc.constant(question),
        fc.shuffledSubarray([...question.next], { minLength: question.next.length }),
      ),
    )
    fc.assert(
      fc.property(shuffled, ([question, next]) => {
        const [one, other] = [nextAppointment(question), nextAppointment({ ...question, next })]
        const summary = (answer: typeof one) =>
          answer.kind === 'none' ? answer.reason : [answer.on, new Set(answer.doses)]
        expect(summary(other)).toEqual(summary(one))
      }),
      RUNS,
    )
  })

  test('does not come later because a session is added between others, where no dose has a last day', () => {
    fc.assert(
      fc.property(questions(false), around(0, 150), (question, extra) => {
        fc.pre(extra < (question.sessions.days.at(-1) ?? TODAY))
        const days = [...new Set([...question.sessions.days, extra])].toSorted((a, b) => a - b)
        const before = nextAppointment(question)
        const after = nextAppointment({ ...question, sessions: { ...question.sessions, days } })
        if (before.kind === 'appointment')
          expect(after.kind === 'appointment' && after.on).toBeLessThanOrEqual(before.on)
      }),
      RUNS,
    )
  })

  test('puts no dose out of reach because a session is added', () => {
    fc.assert(
      fc.property(questions(), around(0, 150), (question, extra) => {
        const days = [...new Set([...question.sessions.days, extra])].toSorted((a, b) => a - b)
        const before = nextAppointment(question).outOfReach
        const after = nextAppointment({ ...question, sessions: { ...question.sessions, days } }).outOfReach
        expect(before).toEqual(expect.arrayContaining([...after]))
      }),
      RUNS,
    )
  })

  test('asked for a later day, comes no earlier than that and loses nothing, or refuses', () => {
    fc.assert(
      fc.property(questions(), around(0, 60), (question, notBefore) => {
        const answer = nextAppointment({ ...question, notBefore })
        const inReach = question.next.filter((row) => sessionsFor(question, row, TODAY).length > 0)
        const endangered = inReach.filter((row) => isLostAfter(question, row, addDays(notBefore, -1)))

        expect(answer.kind === 'none' && answer.reason === 'would-be-too-late').toBe(endangered.length > 0)
        if (answer.kind === 'appointment') expect(answer.on).toBeGreaterThanOrEqual(notBefore)
      }),
      RUNS,
    )
  })
})
