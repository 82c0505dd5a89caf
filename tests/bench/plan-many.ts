/** `plan-many COUNT`: plans so many children one after the other and prints the most memory held, in kilobytes. */
import { nextAppointment } from '../../src/core/appointments/next-appointment.ts'
import { addDays } from '../../src/core/days/day.ts'
import { forecast } from '../../src/core/schedule/forecast.ts'
import { expandSessions, parseSessionCalendar } from '../../src/core/sessions/session-calendar.ts'
import { shippedSchedule } from '../support/schedules.ts'
import { AGE_IN_DAYS, childBornOn, FIRST_BIRTH_ON } from './forecast-vs-json.ts'

const BIRTH_DAYS = 70
const parsed = parseSessionCalendar({ rules: ['FREQ=WEEKLY;BYDAY=TU'], extraDays: [], exceptDays: [] })
if (parsed.kind !== 'calendar') throw new Error('the timetable is not one')
const schedule = shippedSchedule('who-2025-preferred')
const sessions = Array.from({ length: BIRTH_DAYS }, (_, place) => {
  const today = addDays(FIRST_BIRTH_ON, place + AGE_IN_DAYS)
  return expandSessions(parsed.calendar, today, addDays(today, 120), [])
})

let planned = 0
for (let place = 0; place < Number(process.argv[2]); place += 1) {
  const child = childBornOn(addDays(FIRST_BIRTH_ON, place % BIRTH_DAYS))
  const today = addDays(child.birthOn, AGE_IN_DAYS)
  const days = sessions[place % BIRTH_DAYS]
  if (days === undefined) continue
  const { next } = forecast(schedule, child, today)
  if (nextAppointment({ next, sessions: days, today, bundlingDays: 7 }).kind === 'appointment') planned += 1
}
if (planned === 0) throw new Error('nothing was planned')
process.stdout.write(String(process.resourceUsage().maxRSS))
