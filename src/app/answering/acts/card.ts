import { vaccinesOf } from '../../../core/appointments/next-appointment.ts'
import type { Appointment, Child, PlannedDose } from '../../../core/model.ts'
import { pastReactionFlag } from '../../../core/reactions/past-reaction.ts'
import type { SingleAct } from '../../../core/reading/act.ts'
import type { Forecast } from '../../../core/schedule/forecast-types.ts'
import { say } from '../../../core/texts/phrases.ts'
import { sayDay } from '../../../core/texts/say-day.ts'
import { findPlannedAppointment } from '../../../store/appointments.ts'
import { getVillage } from '../../../store/districts.ts'
import { pastReactionsOf } from '../../../store/reactions.ts'
import { isFollowed } from '../../child-facts.ts'
import { viewForecast } from '../../views.ts'
import { withFailingPhone } from '../../failing-phones.ts'
import type { Worker } from '../sender.ts'
import { childByCard, dosesInWords, inWords, nameOf } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

/** CARD: who the child is, what counts and what does not and why, what is due when and from when it counts. */
export async function cardStatusByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'card-status' }>,
): Promise<Answer> {
  const { tx, deps, book, sender, today } = talk
  const child = await childByCard(talk, act.card)
  const village = await getVillage(tx, child.villageId)
  const { forecast } = await viewForecast(tx, deps, child.id, today)
  const appointment = (await findPlannedAppointment(tx, child.id)) ?? null
  const { language, district } = sender
  const birth = sayDay(child.birthOn, { language, calendar: district.calendar, withYear: true })
  const parts = [
    say(book, 'card-is', { ...nameOf(talk, child), birth, village: village.name }),
    hadText(talk, forecast),
    ...uncountedTexts(talk, forecast),
    ...dueTexts(talk, { child, appointment, forecast }),
    ...(await phoneTexts(talk, child)),
    ...(await reactionTexts(talk, child, appointment)),
  ]
  return { body: parts.join(' ') }
}

/** A family that no text reaches is asked for another number when it comes. */
async function phoneTexts({ tx, book }: Talk, { id }: Child): Promise<string[]> {
  const failing = await withFailingPhone(tx, [id])
  return failing.has(id) ? [say(book, 'phone-fails')] : []
}

/** The highest dose of each series says it all. */
function hadText({ book }: Talk, { given }: Forecast): string {
  const highest = new Map<string, PlannedDose>()
  for (const { vaccine, counts } of given) {
    for (const { series, dose, valid } of counts) {
      if (valid && dose !== null && dose > (highest.get(series)?.dose ?? 0))
        highest.set(series, { series, dose, vaccine })
    }
  }
  const doses = dosesInWords([...highest.values()])
  return doses === '' ? say(book, 'card-had-none') : say(book, 'card-had', { doses })
}

/** Doses on record that count nowhere, each with the reason. */
function uncountedTexts({ book }: Talk, { given }: Forecast): string[] {
  return given.flatMap(({ vaccine, counts }) => {
    const [first] = counts
    if (first === undefined || first.reason === null || counts.some((verdict) => verdict.valid)) return []
    return [say(book, 'dose-uncounted', { dose: vaccine, reason: say(book, `reason-${first.reason}`) })]
  })
}

interface Due {
  readonly child: Child
  readonly appointment: Appointment | null
  readonly forecast: Forecast
}

/** The next visit and its doses; of a dose that may not be given yet, the day from which it counts. */
function dueTexts(talk: Talk, { child, appointment, forecast }: Due): string[] {
  const { book, today } = talk
  if (!isFollowed(child)) return [say(book, 'card-closed')]
  if (appointment === null) return [say(book, 'card-finished')]
  const { sessionOn, doses } = appointment
  const early = forecast.next.find(
    ({ series, earliest }) => earliest > today && doses.some((planned) => planned.series === series),
  )
  return [
    say(book, 'card-due', { day: inWords(talk, sessionOn), doses: dosesInWords(doses) }),
    ...(early === undefined
      ? []
      : [
          say(book, 'card-from', {
            dose: `${early.series} ${early.dose}`,
            day: inWords(talk, early.earliest),
          }),
        ]),
  ]
}

/** An earlier reaction, to be asked about before the next dose; for workers only. */
async function reactionTexts(
  talk: Talk<Worker>,
  child: Child,
  appointment: Appointment | null,
): Promise<string[]> {
  const past = (await pastReactionsOf(talk.tx, [child.id])).get(child.id) ?? []
  const flag = pastReactionFlag(past, vaccinesOf(appointment?.doses ?? []))
  if (flag === undefined) return []
  return [say(talk.book, 'reaction-before', { on: inWords(talk, flag.reaction.reactionOn) })]
}
