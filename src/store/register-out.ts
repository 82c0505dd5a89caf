import { z } from 'zod'
import type { ChildOut } from '../core/register/register-out.ts'
import type { Db } from './database.ts'
import { dayColumn } from './days.ts'
import { statement } from './statements.ts'

const childRow = z.object({
  card_number: z.string(),
  name: z.string(),
  sex: z.enum(['female', 'male']).nullable(),
  birth_on: dayColumn,
  village: z.string(),
  number: z.string().nullable(),
  language: z.string().nullable(),
  doses: z.array(z.object({ vaccine: z.string(), on: dayColumn })),
})
const childRows = statement('page-register', childRow)

/** The next children of a district's register after a card. */
export async function pageRegister(
  db: Db,
  districtId: string,
  { after, limit }: { readonly after: string; readonly limit: number },
): Promise<ChildOut[]> {
  const rows = await childRows(db, districtId, after, limit)
  return rows.map(({ card_number, birth_on, number, ...row }) => ({
    ...row,
    cardNumber: card_number,
    birthOn: birth_on,
    phone: number,
  }))
}
