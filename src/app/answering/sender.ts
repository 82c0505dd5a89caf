import type { District, Person, PhoneLine } from '../../core/model.ts'
import type { Sender } from '../../core/reading/act.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict } from '../../store/districts.ts'
import { findLinesByNumber, findPersonByPhone } from '../../store/people.ts'

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

/** Who a number belongs to; a worker who is also a parent is a worker first. */
export async function sendersOf(db: Db, number: string): Promise<readonly KnownSender[]> {
  const person = await findPersonByPhone(db, number)
  const [line] = await findLinesByNumber(db, number)
  return [
    // An operator runs the service; children are none of its business.
    ...(person === undefined || person.role === 'operator' ? [] : [await worker(db, person)]),
    ...(line === undefined ? [] : [await family(db, line)]),
  ]
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
