import { z } from 'zod'
import { nextAppointment, vaccinesOf } from '../../core/appointments/next-appointment.ts'
import { cardNumberOf } from '../../core/children/card-serial.ts'
import { addDays } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import type { Sex } from '../../core/model.ts'
import type { GivenDose } from '../../core/schedule/forecast-types.ts'
import { forecast } from '../../core/schedule/forecast.ts'
import type { Schedule } from '../../core/schedule/schedule.ts'
import type { SessionDays } from '../../core/sessions/session-calendar.ts'
import { readDataFile } from '../../platform/data-files.ts'
import type { Chance } from '../../core/chance.ts'

const names = z.object({
  languages: z.array(
    z.object({
      language: z.string(),
      female: z.array(z.string()),
      male: z.array(z.string()),
      family: z.array(z.string()),
    }),
  ),
})

/** How a family keeps its visits. */
export type Habit = 'steady' | 'forgetful' | 'absent'

export interface DemoChild {
  readonly cardNumber: string
  readonly name: string
  readonly sex: Sex
  readonly birthOn: Day
  readonly village: string
  /** Null: the family has no phone. */
  readonly phone: string | null
  readonly language: string
  readonly habit: Habit
  readonly given: readonly GivenDose[]
}

export interface DemoVillage {
  readonly name: string
  readonly birthsAYear: number
  readonly sessions: SessionDays
  /** Far from the road, or never won over: fewer of its families keep their visits. */
  readonly isHardToReach: boolean
}

/** A family that comes to a visit on its day, by habit. */
const COMES: Readonly<Record<Habit, number>> = { steady: 0.9, forgetful: 0.5, absent: 0.06 }
const YEARS = 2
const DAYS_A_YEAR = 365
/** Some are born and never put on the register. */
const ON_REGISTER = 0.92
const WITHOUT_PHONE = 0.08
/** Ofcom keeps +44 7700 900000 to 900999 for drama. */
const FIRST_PHONE = 447_700_900_010
/** Far from the counts that the service itself begins with. */
const FIRST_SERIAL = 5_000_000

/** Invents the families of a district and what they did for two years up to a day. */
export function inventChildren(
  villages: readonly DemoVillage[],
  schedule: Schedule,
  until: Day,
  chance: Chance,
): DemoChild[] {
  const tongues = names.parse(readDataFile('demo/names.json')).languages
  const children: DemoChild[] = []
  for (const village of villages) {
    const births = Math.round(village.birthsAYear * YEARS * ON_REGISTER)
    for (let born = 0; born < births; born += 1) {
      const tongue = chance.pick(tongues)
      const sex = chance.isLucky(0.5) ? 'female' : 'male'
      const birthOn = addDays(until, -1 - Math.floor(chance.next() * YEARS * DAYS_A_YEAR))
      const habit = habitOf(village, chance)
      const number = children.length
      children.push({
        cardNumber: cardNumberOf(FIRST_SERIAL + number),
        name: `${chance.pick(tongue[sex])} ${chance.pick(tongue.family)}`,
        sex,
        birthOn,
        village: village.name,
        phone: chance.isLucky(WITHOUT_PHONE) ? null : phoneOf(number),
        language: tongue.language,
        habit,
        given: pastDoses({ birthOn, sex, habit }, village.sessions, schedule, { until, chance }),
      })
    }
  }
  return children
}

/** The n-th reserved number of the scenario. */
export function phoneOf(number: number): string {
  return `+${FIRST_PHONE + number}`
}

function habitOf({ isHardToReach }: DemoVillage, chance: Chance): Habit {
  const drawn = chance.next()
  if (drawn < (isHardToReach ? 0.2 : 0.66)) return 'steady'
  return drawn < (isHardToReach ? 0.5 : 0.9) ? 'forgetful' : 'absent'
}

interface Past {
  readonly until: Day
  readonly chance: Chance
}

/** Walks a child from visit to visit as the service itself would have booked them. */
function pastDoses(
  child: { readonly birthOn: Day; readonly sex: Sex; readonly habit: Habit },
  sessions: SessionDays,
  schedule: Schedule,
  { until, chance }: Past,
): GivenDose[] {
  const given: GivenDose[] = []
  let today = child.birthOn
  for (;;) {
    const { next } = forecast(schedule, { birthOn: child.birthOn, sex: child.sex, given }, today)
    const visit = nextAppointment({ next, sessions, today, bundlingDays: 14 })
    if (visit.kind === 'none' || visit.on >= until) return given
    if (chance.isLucky(COMES[child.habit])) {
      given.push(...vaccinesOf(visit.doses).map((vaccine) => ({ vaccine, on: visit.on })))
    }
    today = addDays(visit.on, 1)
  }
}

/** Whether a family comes on the day; those whose phone got a text come more often. */
export function comes(habit: Habit, wasReminded: boolean, chance: Chance): boolean {
  // A text adds about a fifth (risk ratio 1.16 to 1.29 in trials; docs/reminders.md).
  return chance.isLucky(Math.min(0.97, COMES[habit] * (wasReminded ? 1.2 : 1)))
}
