import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { findPlannedAppointment } from '../../../store/appointments.ts'
import { getVillage } from '../../../store/districts.ts'
import { isFollowed } from '../../child-facts.ts'
import { viewForecast } from '../../views.ts'
import { sayDay } from '../../../core/texts/say-day.ts'
import type { Worker } from '../sender.ts'
import { childByCard, dosesInWords, inWords, nameOf } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

/** CARD: who the child is, what counts, and what is due when. */
export async function cardStatusByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'card-status' }>,
): Promise<Answer> {
  const { tx, deps, sender, book, today } = talk
  const child = await childByCard(talk, act.card)
  const village = await getVillage(tx, child.villageId)
  const { forecast: outlook } = await viewForecast(tx, deps, child.id, today)
  const had = outlook.given
    .flatMap((dose) => dose.counts)
    .flatMap(({ series, dose, valid }) => (valid && dose !== null ? [{ series, dose, vaccine: series }] : []))
  const appointment = await findPlannedAppointment(tx, child.id)
  const birth = sayDay(child.birthOn, {
    language: sender.language,
    calendar: sender.district.calendar,
    withYear: true,
  })
  return {
    body: [
      say(book, 'card-is', { ...nameOf(talk, child), birth, village: village.name }),
      had.length === 0
        ? say(book, 'card-had-none')
        : say(book, 'card-had', { doses: dosesInWords(latestOf(had)) }),
      dueText(),
    ].join(' '),
  }

  function dueText(): string {
    if (!isFollowed(child)) return say(book, 'card-closed')
    if (appointment === undefined) return say(book, 'card-finished')
    return say(book, 'card-due', {
      day: inWords(talk, appointment.sessionOn),
      doses: dosesInWords(appointment.doses),
    })
  }
}

interface CountedDose {
  readonly series: string
  readonly dose: number
  readonly vaccine: string
}

/** The highest dose of each series says it all. */
function latestOf(doses: readonly CountedDose[]): CountedDose[] {
  const latest = new Map<string, CountedDose>()
  for (const dose of doses)
    if ((latest.get(dose.series)?.dose ?? 0) < dose.dose) latest.set(dose.series, dose)
  return [...latest.values()]
}
