import type { Db } from './database.ts'

/** What a district has set in place of the data that ships. */
export type SettingName = 'search' | 'doubles' | 'spending' | 'advice' | 'retention'

export async function findSetting(db: Db, districtId: string, name: SettingName): Promise<unknown> {
  const row = await db.districtSetting.findUnique({ where: { districtId_name: { districtId, name } } })
  return row === null ? undefined : row.value
}

export interface NewSetting {
  readonly districtId: string
  readonly name: SettingName
  readonly value: object
  readonly changedBy: string
  readonly changedAt: Date
}

export async function putSetting(db: Db, given: NewSetting): Promise<void> {
  const { districtId, name, ...rest } = given
  await db.districtSetting.upsert({
    where: { districtId_name: { districtId, name } },
    create: { districtId, name, ...rest },
    update: rest,
  })
}
