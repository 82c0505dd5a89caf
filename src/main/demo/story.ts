import { listDue } from '../../app/views.ts'
import { formatCardNumber } from '../../core/card-number.ts'
import { addDays, formatDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { instantOf } from '../../core/days/zoned-time.ts'
import type { District } from '../../core/model.ts'
import { isSessionDay } from '../../core/sessions/session-calendar.ts'
import type { HandsetGateway } from '../../gateway/handset/handset-gateway.ts'
import type { Service } from '../service.ts'
import type { Chance } from '../../core/chance.ts'
import type { Narrator } from './narrator.ts'
import { comes, phoneOf } from './scenario.ts'
import type { DemoChild, DemoVillage } from './scenario.ts'
import type { StoryClock } from './story-clock.ts'

export interface StoryParts {
  readonly service: Service
  readonly handset: HandsetGateway
  readonly clock: StoryClock
  readonly district: District
  readonly villages: readonly DemoVillage[]
  readonly children: readonly DemoChild[]
  /** The vaccinator's number of each village. */
  readonly vaccinatorOf: ReadonlyMap<string, string>
  readonly chance: Chance
  readonly narrator: Narrator
}

const MORNING = 8 * 60
const NOON = 12 * 60
const EVENING = 17 * 60

/** Lives some days through: reminders in the morning, sessions at noon, advice and questions in the evening. */
export async function liveThrough(parts: StoryParts, from: Day, days: number): Promise<void> {
  for (let count = 0; count < days; count += 1) await liveDay(parts, addDays(from, count))
}

async function liveDay(parts: StoryParts, day: Day): Promise<void> {
  const { service, narrator } = parts
  turnTo(parts, day, MORNING)
  await service.closeDay()
  await sendAll(parts)
  turnTo(parts, day, NOON)
  for (const village of parts.villages) {
    if (isSessionDay(village.sessions, day)) await holdSession(parts, village, day)
  }
  await newborn(parts, day)
  turnTo(parts, day, EVENING)
  await service.closeDay()
  await sendAll(parts)
  await questions(parts, day)
  await service.whenIdle()
  narrator.closeDay(day)
}

/** Texts from a phone, as its owner would; a text that is told is followed by its reply. */
async function write(parts: StoryParts, from: string, body: string): Promise<void> {
  const isTold = parts.narrator.textFrom(from, body)
  await parts.handset.text(from, body)
  if (isTold) await settled(parts)
}

/** Waits until every text is answered and every answer has arrived. */
async function settled({ service, handset }: StoryParts): Promise<void> {
  await service.whenIdle()
  await handset.settled()
}

function turnTo({ clock, district }: StoryParts, day: Day, minute: number): void {
  clock.set(instantOf({ day, minute }, district.timeZone))
}

/** Sweeps until nothing more is due. */
async function sendAll(parts: StoryParts): Promise<void> {
  for (;;) {
    const { lanes, texts } = await parts.service.sweep()
    await settled(parts)
    if (lanes + texts === 0) return
  }
}

/** Whoever comes is vaccinated and reported at once, as a vaccinator with a queue would write it. */
async function holdSession(parts: StoryParts, village: DemoVillage, day: Day): Promise<void> {
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
  let came = 0
  for (const child of expected) {
    const family = children.find((each) => each.cardNumber === child.cardNumber)
    const habit = family?.habit ?? 'steady'
    if (!comes(habit, family?.phone != null, chance)) continue
    came += 1
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
