import type { District, Person, PhoneLine } from '../../core/model.ts'
import type { Sender } from '../../core/reading/act.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { findLinesByNumber, findPersonByPhone } from '../../store/people.ts'
import { PRACTICE } from '../practice.ts'

/** Someone who works for the programme, writing from the number that stands on record. */
export interface Worker {
  readonly kind: 'worker'
  readonly as: Extract<Sender, 'vaccinator' | 'manager'>
  readonly person: Person
  readonly district: District
  readonly language: string
}

/** The parent or guardian a line belongs to. */
export interface Family {
  readonly kind: 'family'
  readonly as: Extract<Sender, 'parent'>
  readonly line: PhoneLine
  readonly district: District
  readonly language: string
}

export type KnownSender = Worker | Family

/**
 * Who a number belongs to; a worker who is also a parent is a worker first. Networks reach real districts only, the
 * practice page training districts only: neither ever speaks for the other.
 */
export async function sendersOf(
  db: Db,
  { gateway, number }: { readonly gateway: string; readonly number: string },
): Promise<readonly KnownSender[]> {
  const person = await findPersonByPhone(db, number)
  const lines = await findLinesByNumber(db, number)
  const known = [
    // An operator runs the service; children are none of its business.
    ...(person === undefined || person.role === 'operator' ? [] : [await worker(db, person)]),
    ...(await Promise.all(lines.map((line) => family(db, line)))),
  ]
  const reached = known.filter(({ district }) => district.isTraining === (gateway === PRACTICE))
  const isFirstFamily = ({ kind }: KnownSender, index: number): boolean =>
    kind === 'worker' || reached.findIndex((one) => one.kind === 'family') === index
  return reached.filter(isFirstFamily)
}

async function worker(db: Db, person: Person): Promise<Worker> {
  const district = await getDistrict(db, person.districtId)
  const as = person.role === 'vaccinator' ? 'vaccinator' : 'manager'
  return { kind: 'worker', as, person, district, language: person.language }
}

async function family(db: Db, line: PhoneLine): Promise<Family> {
  const district = await getDistrict(db, line.districtId)
  return { kind: 'family', as: 'parent', line, district, language: line.language }
}
