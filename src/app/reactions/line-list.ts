import { formatCardNumber } from '../../core/card-number.ts'
import { formatDay } from '../../core/days/day.ts'
import type { Day } from '../../core/days/day.ts'
import { dayAt } from '../../core/days/zoned-time.ts'
import type { District, Dose, Person } from '../../core/model.ts'
import { reportLine } from '../../core/reactions/line-list.ts'
import type { ReportLine } from '../../core/reactions/line-list.ts'
import type { Reaction } from '../../core/reactions/reaction.ts'
import { Refusal } from '../../core/refusals.ts'
import { getChild } from '../../store/children.ts'
import type { Db, Transaction } from '../../store/database.ts'
import { getDistrict, getVillage, listHealthPosts } from '../../store/districts.ts'
import { listPeople } from '../../store/people.ts'
import { findReaction, listReactions, putReactionFacts } from '../../store/reactions.ts'
import { csvText } from '../csv-text.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { sourcesOf } from '../vials/view-vial.ts'
import { viewDoses } from '../views.ts'

/** A report lined up with the core variables of WHO. */
export interface LinedUpReport {
  readonly reaction: Reaction
  readonly line: ReportLine
}

const MOST_ROWS = 1000
/** How far back a vaccine counts as given shortly before. */
const SHORTLY_DAYS = 30

/** The reports of a district, newest first, each with what is missing. */
export async function lineList(db: Db, deps: Deps, district: District): Promise<readonly LinedUpReport[]> {
  const people = await listPeople(db, district.id)
  const posts = new Map((await listHealthPosts(db, district.id)).map(({ id, name }) => [id, name]))
  const reports: LinedUpReport[] = []
  for (const reaction of await listReactions(db, district.id, MOST_ROWS)) {
    const known = await factsOf(db, deps, { district, reaction, people, posts })
    const line = reportLine({ ...known, ...reaction.facts }, deps.shelf.coreVariables)
    reports.push({ reaction, line })
  }
  return reports
}

interface Surroundings {
  readonly district: District
  readonly reaction: Reaction
  readonly people: readonly Person[]
  readonly posts: ReadonlyMap<string, string>
}

/** What the record itself knows of the core variables. */
async function factsOf(
  db: Db,
  deps: Deps,
  { district, reaction, people, posts }: Surroundings,
): Promise<Readonly<Record<string, string | undefined>>> {
  const child = await getChild(db, reaction.childId)
  const all = await viewDoses(db, deps, child.id)
  const own = all.filter(({ dose }) => reaction.doseIds.includes(dose.id))
  const sources = await sourcesOf(
    db,
    deps.shelf,
    own.map(({ dose }) => dose),
  )
  const reporter = people.find(({ id }) => id === reaction.reportedBy)
  return {
    'report-number': reaction.id,
    country: district.region,
    place: (await getVillage(db, child.villageId)).name,
    child: child.isErased ? undefined : formatCardNumber(child.cardNumber),
    age: formatDay(child.birthOn),
    sex: child.sex ?? undefined,
    vaccine: joined(own.map(({ dose }) => dose.vaccine)),
    'other-vaccines': joined(shortlyBefore(all, reaction).map(({ vaccine }) => vaccine)),
    lot: joined([...sources.values()].map(({ vial }) => vial.lot)),
    'dose-number': joined(
      own.flatMap(({ counts }) => counts.flatMap(({ series, dose }) => `${series} ${dose ?? ''}`)),
    ),
    'vaccinated-on': joined(own.map(({ dose }) => formatDay(dose.givenOn))),
    'began-on': formatDay(reaction.reactionOn),
    signs: joined([...reaction.signs, reaction.words]),
    'is-serious': reaction.isSerious ? 'yes' : 'no',
    reporter: reporter?.name ?? reaction.reportedBy,
    'reporter-post': posts.get(reaction.postId ?? ''),
    'reporter-role': reporter?.role,
    'reporter-phone': reporter?.phone,
    'reported-on': formatDay(dayAt(reaction.reportedAt, district.timeZone)),
  }
}

function joined(parts: readonly string[]): string | undefined {
  const all = [...new Set(parts)].filter((part) => part !== '')
  return all.length === 0 ? undefined : all.join('; ')
}

function shortlyBefore(
  doses: readonly { readonly dose: Dose }[],
  { doseIds, reactionOn }: { readonly doseIds: readonly string[]; readonly reactionOn: Day },
): Dose[] {
  return doses
    .map(({ dose }) => dose)
    .filter(
      ({ id, givenOn, voidedAt }) =>
        voidedAt === null &&
        !doseIds.includes(id) &&
        givenOn <= reactionOn &&
        reactionOn - givenOn <= SHORTLY_DAYS,
    )
}

/** The line list as a file: a column for each core variable, and which critical ones are missing. */
export async function lineListCsv(db: Db, deps: Deps, districtId: string): Promise<string> {
  const reports = await lineList(db, deps, await getDistrict(db, districtId))
  const header = [...deps.shelf.coreVariables.map(({ code }) => code), 'missing-critical']
  const rows = reports.map(({ line }) => [
    ...line.cells.map((cell) => cell ?? ''),
    line.missingCritical.join(' '),
  ])
  return csvText([header, ...rows])
}

/** @throws {Refusal} reaction-not-found */
export async function getReaction(db: Db, id: string): Promise<Reaction> {
  const reaction = await findReaction(db, id)
  if (reaction === undefined) throw new Refusal('reaction-not-found', `There is no report ${id}.`)
  return reaction
}

export interface ReportFacts {
  readonly reactionId: string
  /** By code of a core variable; empty text takes one out. */
  readonly facts: Readonly<Record<string, string>>
  readonly by: string
}

/** Completes a report with what its text could not hold. @throws {Refusal} reaction-not-found, input-invalid */
export async function completeReport(
  tx: Transaction,
  deps: Deps,
  { reactionId, facts, by }: ReportFacts,
): Promise<Reaction> {
  const reaction = await getReaction(tx, reactionId)
  const codes = deps.shelf.coreVariables.map(({ code }) => code)
  const unknown = Object.keys(facts).filter((code) => !codes.includes(code))
  if (unknown.length > 0)
    throw new Refusal(
      'input-invalid',
      `${unknown.join(', ')} is no core variable; there are ${codes.join(', ')}.`,
    )
  const merged = Object.fromEntries(
    Object.entries({ ...reaction.facts, ...facts }).filter(([, text]) => text.trim() !== ''),
  )
  await putReactionFacts(tx, reactionId, merged)
  await noteChange(tx, deps, {
    districtId: reaction.districtId,
    actor: by,
    act: 'complete-report',
    subject: { kind: 'reaction', id: reactionId },
    after: { facts: Object.keys(facts).join(' ') },
  })
  return { ...reaction, facts: merged }
}
