import { z } from 'zod'
import type { Day } from '../core/days/day.ts'
import { formatDay } from '../core/days/day.ts'
import type { Sex } from '../core/model.ts'
import type { Transaction } from './database.ts'
import { dayColumn } from './days.ts'
import { numberStart } from './number-start.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** Set-based writes of a register that is taken over; what is known stays as it is. */

const RegisteredRow = z
  .object({
    id: z.string(),
    district_id: z.string(),
    village_id: z.string(),
    card_number: z.string(),
    name: z.string(),
    birth_on: dayColumn,
    status: z.string(),
  })
  .transform((row) => ({
    id: row.id,
    districtId: row.district_id,
    villageId: row.village_id,
    cardNumber: row.card_number,
    name: row.name,
    birthOn: row.birth_on,
    isMerged: row.status === 'duplicate',
  }))

/** A child who may be one of the register's. */
export type Registered = z.output<typeof RegisteredRow>

const findRegisteredRows = statement('find-registered', RegisteredRow)

export interface WhoToFind {
  readonly cardNumbers: readonly string[]
  readonly born: readonly { readonly villageId: string; readonly birthOn: Day }[]
}

/** Children of these cards wherever they live, and those of these villages born on these days; held for the rest of the transaction. */
export async function findRegistered(tx: Transaction, who: WhoToFind): Promise<Registered[]> {
  const born = who.born.map(({ villageId, birthOn }) => ({ villageId, birthOn: formatDay(birthOn) }))
  return findRegisteredRows(tx, [...who.cardNumbers], JSON.stringify(born))
}

const serialRows = statement('next-card-serials', z.object({ serial: z.int() }))

/** The next counts for cards made here; never given twice. */
export async function nextCardSerials(tx: Transaction, howMany: number): Promise<number[]> {
  return (await serialRows(tx, howMany)).map(({ serial }) => serial)
}

/** Who takes a register over, and when. */
export interface Takeover {
  readonly districtId: string
  readonly by: string
  readonly today: Day
  readonly now: Date
}

export interface NewRegistered {
  readonly id: string
  readonly villageId: string
  readonly cardNumber: string
  readonly name: string
  readonly sex: Sex | null
  readonly birthOn: Day
  readonly caregiver: {
    readonly id: string
    readonly lineId: string
    readonly number: string
    readonly language: string
  } | null
}

const insertLines = statement('insert-register-lines', z.never())
const insertChildren = statement('insert-register-children', z.never())

/** Enrols new children, with the lines of their caregivers; they are planned from today on. */
export async function insertRegistered(
  tx: Transaction,
  { districtId, by, today, now }: Takeover,
  children: readonly NewRegistered[],
): Promise<void> {
  const vault = vaultOf(tx)
  const numbersOf = new Map(
    children.map(({ id, caregiver }) => [id, caregiver === null ? [] : vault.formsOf(caregiver.number)]),
  )
  const lines = children.flatMap(({ id, caregiver }) =>
    caregiver === null
      ? []
      : [
          {
            id: caregiver.lineId,
            numbers: numbersOf.get(id),
            start: numberStart(caregiver.number),
            language: caregiver.language,
          },
        ],
  )
  const rows = children.map(({ caregiver, ...child }) => ({
    ...child,
    name: vault.seal('text', child.name),
    birthOn: formatDay(child.birthOn),
    phones: numbersOf.get(child.id),
    caregiverId: caregiver?.id ?? null,
  }))
  await insertLines(tx, districtId, JSON.stringify(lines), now)
  await insertChildren(tx, districtId, JSON.stringify(rows), by, formatDay(today), now)
}

export interface NewRegisterDose {
  readonly id: string
  readonly childId: string
  readonly birthOn: Day
  readonly vaccine: string
  readonly givenOn: Day
  readonly typedNumber: number | null
}

const DoseCountRow = z
  .object({ child_id: z.string(), dose_ids: z.array(z.string()) })
  .transform(({ child_id, dose_ids }) => ({ childId: child_id, doseIds: dose_ids }))
const insertDoseRows = statement('insert-register-doses', DoseCountRow)

/** Stores doses that were never on record; answers, for each child who has new ones, which. */
export async function insertRegisterDoses(
  tx: Transaction,
  { districtId, by, now }: Takeover,
  doses: readonly NewRegisterDose[],
): Promise<{ readonly childId: string; readonly doseIds: readonly string[] }[]> {
  const rows = doses.map((dose) => ({
    ...dose,
    birthOn: formatDay(dose.birthOn),
    givenOn: formatDay(dose.givenOn),
  }))
  return insertDoseRows(tx, districtId, JSON.stringify(rows), by, now)
}
