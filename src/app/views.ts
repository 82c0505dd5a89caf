import { listCalendarLinks } from '../store/calendar-links.ts'
import type { CalendarLink } from '../store/calendar-links.ts'
import { clinicalNotesInForce, clinicalNotesOf } from '../store/clinical-notes.ts'
import type { ClinicalNote } from '../store/clinical-notes.ts'
import { doseReasonsOf } from '../store/dose-reasons.ts'
import type { DoseReason } from '../store/dose-reasons.ts'
import { forecast } from '../core/schedule/forecast.ts'
import type { Day } from '../core/days/day.ts'
import type { Appointment, Child, District, Dose, PhoneLine, Village } from '../core/model.ts'
import type { ChildFacts, Forecast } from '../core/schedule/forecast-types.ts'
import type { Schedule } from '../core/schedule/schedule.ts'
import type { AlertOnRecord } from '../core/reactions/reaction.ts'
import { Refusal } from '../core/refusals.ts'
import { parsePhoneNumber } from '../core/phone-number.ts'
import { findAlert, listAlerts } from '../store/alerts.ts'
import { appointmentsOfChild, findPlannedAppointment } from '../store/appointments.ts'
import {
  findChildByCard,
  findChildrenByNumber,
  getChild,
  getChildren,
  pageOfChildren,
} from '../store/children.ts'
import type { ChildPage } from '../store/children.ts'
import type { ChildNumber } from '../core/exchange/patient-out.ts'
import type { Db } from '../store/database.ts'
import { findChildIdsByNumber, numbersOfChild } from '../store/child-numbers.ts'
import { getDistrict, getVillage } from '../store/districts.ts'
import { dosesOfChild, getDose } from '../store/doses.ts'
import { linesOfChild, listPeople, listSomeLines } from '../store/people.ts'
import { factsOf, refuseErased, routineDoses } from './child-facts.ts'
import { todayIn } from './deps.ts'
import type { Deps } from './deps.ts'
import { provenCard } from './proven-card.ts'
import { versionFor, versionsOf } from './schedule-versions.ts'

export { listDue } from '../store/appointments.ts'
export {
  findDistrictByName,
  getDistrict,
  getVillage,
  villageNotFound,
  listDistricts,
  listHealthPosts,
  listVillages,
} from '../store/districts.ts'
export { listRecalls as listRecallsOf } from '../store/recalls.ts'
export { openDifferences as listPostDifferences } from '../store/posts.ts'
export type { KeptDifference } from '../store/posts.ts'
export { pageOfTextsOut } from '../store/texts.ts'

/** A child with all that is shown beside it. */
export interface ChildView {
  readonly child: Child
  readonly district: District
  readonly village: Village
  readonly lines: readonly PhoneLine[]
  /** Numbers that others than this register gave it. */
  readonly numbers: readonly ChildNumber[]
  readonly appointment: Appointment | null
}

/** @throws {Refusal} child-not-found */
export async function viewChild(db: Db, childId: string): Promise<ChildView> {
  return withSurroundings(db, refuseErased(await getChild(db, childId)))
}

async function withSurroundings(db: Db, child: Child): Promise<ChildView> {
  return {
    child,
    district: await getDistrict(db, child.districtId),
    village: await getVillage(db, child.villageId),
    lines: await linesOfChild(db, child.id),
    numbers: await numbersOfChild(db, child.id),
    appointment: (await findPlannedAppointment(db, child.id)) ?? null,
  }
}

/** The district a child belongs to. @throws {Refusal} child-not-found */
export async function districtOfChild(db: Db, childId: string): Promise<string> {
  return refuseErased(await getChild(db, childId)).districtId
}

/** The district of the child a dose belongs to. @throws {Refusal} dose-not-found */
export async function districtOfDose(db: Db, doseId: string): Promise<string> {
  const dose = await getDose(db, doseId)
  return districtOfChild(db, dose.childId)
}

/** Children found by their card, in a district or in all. */
export async function viewByCard(db: Db, card: string, districtId: string | null): Promise<ChildView[]> {
  const child = await findChildByCard(db, provenCard(card))
  const isVisible = child !== undefined && (districtId === null || child.districtId === districtId)
  return isVisible ? [await withSurroundings(db, child)] : []
}

/** Children found by a number that somebody else gave them, in a district or in all; without an issuer, by anyone's. */
export async function viewByNumber(
  db: Db,
  given: { readonly issuer: string | null; readonly number: string },
  districtId: string | null,
): Promise<ChildView[]> {
  const children = await getChildren(db, await findChildIdsByNumber(db, given))
  const visible = children.filter((child) => districtId === null || child.districtId === districtId)
  return Promise.all(visible.map((child) => withSurroundings(db, child)))
}

/** Children whose caregiver has this number. */
export async function viewByPhone(db: Db, phone: string, district: District): Promise<ChildView[]> {
  const parsed = parsePhoneNumber(phone, district.region)
  if (parsed.kind === 'impossible') {
    throw new Refusal(
      'phone-impossible',
      `${phone} cannot be a phone number in ${district.name}; send it with its country code.`,
    )
  }
  const children = await findChildrenByNumber(db, parsed.number)
  const own = children.filter((child) => child.districtId === district.id)
  return Promise.all(own.map((child) => withSurroundings(db, child)))
}

export async function viewPage(db: Db, page: ChildPage): Promise<ChildView[]> {
  const children = await pageOfChildren(db, page)
  return Promise.all(children.map((child) => withSurroundings(db, child)))
}

export interface ForecastView {
  readonly child: Child
  /** One for one with `forecast.given`. */
  readonly doses: readonly Dose[]
  readonly facts: ChildFacts
  readonly schedule: Schedule
  /** The day it is made for. */
  readonly on: Day
  readonly forecast: Forecast
}

/** What the schedule says of a child on a day (today where none is named). */
export async function viewForecast(
  db: Db,
  deps: Deps,
  childId: string,
  on: Day | null,
): Promise<ForecastView> {
  const child = await getChild(db, childId)
  const district = await getDistrict(db, child.districtId)
  const doses = await dosesOfChild(db, childId)
  const versions = await versionsOf(db, deps.shelf, district.scheduleCode)
  const facts = factsOf(child, doses)
  const day = on ?? todayIn(deps, district)
  const schedule = versionFor(versions, facts, day)
  return {
    child,
    doses: routineDoses(doses),
    facts,
    schedule,
    on: day,
    forecast: forecast(schedule, facts, day),
  }
}

/** Every dose on record with what it counts for; withdrawn ones too. */
export async function viewDoses(db: Db, deps: Deps, childId: string) {
  const view = await viewForecast(db, deps, childId, null)
  const counts = new Map(view.doses.map((dose, index) => [dose.id, view.forecast.given[index]?.counts ?? []]))
  return (await dosesOfChild(db, childId)).map((dose) => ({ dose, counts: counts.get(dose.id) ?? [] }))
}

export type { DoseReason } from '../store/dose-reasons.ts'

/** Why doses of a child were given that do not count, by dose. */
export function reasonsOf(db: Db, childId: string): Promise<ReadonlyMap<string, DoseReason>> {
  return doseReasonsOf(db, childId)
}

export type { ClinicalNote } from '../store/clinical-notes.ts'

/** What clinicians decided for a child, ended decisions too, the newest first. */
export function decisionsOf(db: Db, childId: string): Promise<ClinicalNote[]> {
  return clinicalNotesOf(db, childId)
}

export type { CalendarLink } from '../store/calendar-links.ts'

const MOST_LINKS = 500

/** The calendar links of a district, ended ones too, the newest first. */
export function calendarLinksOf(db: Db, districtId: string): Promise<CalendarLink[]> {
  return listCalendarLinks(db, districtId, MOST_LINKS)
}

const MOST_DECISIONS = 500

/** The decisions in force in a district, the oldest first. */
export function decisionsInForce(db: Db, districtId: string): Promise<ClinicalNote[]> {
  return clinicalNotesInForce(db, districtId, MOST_DECISIONS)
}

/** Every visit of a child, newest first. */
export async function viewAppointments(db: Db, childId: string): Promise<Appointment[]> {
  return appointmentsOfChild(db, childId)
}

/** A phone on record and whose it is. */
export interface PhoneOnRecord {
  readonly number: string
  readonly owner: string
  readonly role: string
}

/** The phones of everyone who works in a district, and of some families. */
export async function listPhones(db: Db, districtId: string, families: number): Promise<PhoneOnRecord[]> {
  const people = await listPeople(db, districtId)
  const lines = await listSomeLines(db, districtId, families)
  return [
    ...people.map(({ phone, name, role }) => ({ number: phone, owner: name, role })),
    ...lines.map(({ number, children }) => ({
      number,
      owner: `family of ${children.join(', ')}`,
      role: 'parent',
    })),
  ]
}

const MOST_ALERTS = 200

/** Open alerts of a district, newest first. */
export async function listAlertsOf(db: Db, districtId: string): Promise<AlertOnRecord[]> {
  return listAlerts(db, districtId, { isOpen: true, limit: MOST_ALERTS })
}

/** The district an alert is in. @throws {Refusal} alert-not-found */
export async function districtOfAlert(db: Db, alertId: string): Promise<string> {
  const alert = await findAlert(db, alertId)
  if (alert === undefined) throw new Refusal('alert-not-found', `There is no alert ${alertId}.`)
  return alert.districtId
}
