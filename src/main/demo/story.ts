import { listDue } from '../../app/views.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { addDays, formatDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { instantOf } from '../../core/days/zoned-time.ts'
import { isSessionDay } from '../../core/sessions/session-calendar.ts'
import { comes, phoneOf } from './scenario.ts'
import { openSafetyStory } from './safety-story.ts'
import type { SafetyStory } from './safety-story.ts'
import { sendAll, settled, write } from './at-the-phones.ts'
import type { StoryParts } from './at-the-phones.ts'
import type { DemoVillage } from './scenario.ts'

const MORNING = 8 * 60
const NOON = 12 * 60
const EVENING = 17 * 60

/** Lives some days through: reminders in the morning, sessions at noon, advice and questions in the evening. */
export async function liveThrough(parts: StoryParts, from: Day, days: number): Promise<void> {
  const safety = openSafetyStory(parts, { from, last: addDays(from, days - 1) })
  for (let count = 0; count < days; count += 1) await liveDay(parts, safety, addDays(from, count))
}

async function liveDay(parts: StoryParts, safety: SafetyStory, day: Day): Promise<void> {
  const { service, narrator } = parts
  turnTo(parts, day, MORNING)
  await service.closeDay()
  await sendAll(parts)
  turnTo(parts, day, NOON)
  for (const village of parts.villages) {
    if (isSessionDay(village.sessions, day)) await holdSession(parts, safety, village, day)
  }
  await newborn(parts, day)
  turnTo(parts, day, EVENING)
  await service.closeDay()
  await sendAll(parts)
  await safety.evening(day)
  await questions(parts, day)
  await service.whenIdle()
  narrator.closeDay(day)
}

function turnTo({ clock, district }: StoryParts, day: Day, minute: number): void {
  clock.set(instantOf({ day, minute }, district.timeZone))
}

/** Whoever comes is vaccinated and reported at once, as a vaccinator with a queue would write it. */
async function holdSession(
  parts: StoryParts,
  safety: SafetyStory,
  village: DemoVillage,
  day: Day,
): Promise<void> {
  const { service, district, chance, narrator, children } = parts
  const due = await listDue(service.deps.database.db, {
    districtId: district.id,
    postId: null,
    villageId: null,
    from: day,
    to: day,
  })
  const expected = due.filter((child) => child.village === village.name)
  const vaccinator = parts.vaccinatorOf.get(village.name)
  if (vaccinator === undefined || expected.length === 0) return
  await safety.sessionBegins(vaccinator)
  let came = 0
  for (const child of expected) {
    const family = children.find((each) => each.cardNumber === child.cardNumber)
    const habit = family?.habit ?? 'steady'
    if (!comes(habit, family?.phone != null, chance)) continue
    came += 1
    safety.childCame(vaccinator, child.cardNumber)
    const card = chance.isLucky(0.5) ? child.cardNumber : formatCardNumber(child.cardNumber)
    const word = chance.pick(['GAVE', 'gave', 'Gave'])
    await write(parts, vaccinator, `${word} ${card} ALL`)
  }
  await settled(parts)
  narrator.session(village.name, expected.length, came)
}

/** Most days a child is born somewhere; the health worker enrols it by text. */
async function newborn(parts: StoryParts, day: Day): Promise<void> {
  const { chance, villages, vaccinatorOf, narrator } = parts
  if (!chance.isLucky(0.6)) return
  const village = chance.pick(villages)
  const vaccinator = vaccinatorOf.get(village.name)
  if (vaccinator === undefined) return
  const phone = phoneOf(parts.children.length + narrator.births())
  const [sex, name] = chance.pick([
    ['F', 'Alma Coldmere'],
    ['M', 'Rémi Havrelle'],
    ['F', 'Leonor Castanhal'],
    ['M', 'Jasper Dunlow'],
    ['F', 'Noémie Fontbrise'],
    ['M', 'Nuno Domilar'],
  ] as const)
  const birth = formatDay(addDays(day, -Math.floor(chance.next() * 4)))
  narrator.birth(village.name)
  await write(parts, vaccinator, `NEW ${village.name} ${birth} ${sex} ${phone} ${name}`)
  await settled(parts)
}

/** Now and then a parent asks, moves a visit, or has had enough of texts. */
async function questions(parts: StoryParts, day: Day): Promise<void> {
  const { chance, children } = parts
  const withPhone = children.filter((child) => child.phone !== null)
  const asks = day % 3 === 0 ? ['WHEN', 'LATER'] : ['when is it please?']
  for (const ask of day % 7 === 2 ? [...asks, 'STOP'] : asks) {
    await write(parts, chance.pick(withPhone).phone ?? '', ask)
  }
  await settled(parts)
}
