import type { SingleAct } from '../../../core/reading/act.ts'
import { say } from '../../../core/texts/phrases.ts'
import { enrolChild } from '../../enrol-child.ts'
import type { Worker } from '../sender.ts'
import { nameOf, villageByName, visitInWords } from '../talk.ts'
import type { Answer, Talk } from '../talk.ts'

/** NEW: puts a child on the register; the reply repeats the name and gives the number to write on the card. */
export async function enrolByText(
  talk: Talk<Worker>,
  act: Extract<SingleAct, { act: 'enrol' }>,
  { isKnownToBeNew } = { isKnownToBeNew: false },
): Promise<Answer> {
  const { tx, deps, sender, book } = talk
  const village = await villageByName(talk, act.village)
  const [language = 'en'] = sender.district.languages
  const plan = await enrolChild(tx, deps, {
    districtId: sender.district.id,
    villageId: village.id,
    name: act.name,
    sex: act.sex,
    birthOn: act.birthDate,
    isBirthEstimated: false,
    birthWeightGrams: null,
    birthMinute: null,
    cardNumber: null,
    caregiver:
      act.phone === null
        ? null
        : { number: act.phone, language, relation: null, consent: 'given', consentSource: 'told-vaccinator' },
    isKnownToBeNew,
    by: sender.person.id,
    via: talk.via,
  })
  const facts = nameOf(talk, plan.child)
  const body =
    plan.appointment === null
      ? say(book, 'enrolled-last', facts)
      : say(book, 'enrolled', { ...facts, next: visitInWords(talk, plan.appointment, plan.village) })
  return { body, effect: { childIds: [plan.child.id] } }
}
