import { z } from 'zod'
import type { HourUp } from '../core/operation/availability.ts'
import type { Db } from './database.ts'
import type { Statement } from './statements.ts'
import { statement } from './statements.ts'

/** A process of the service, as it says of itself. */
export interface ServiceProcess {
  readonly id: string
  /** With commas between. */
  readonly roles: string
  readonly release: string
  readonly startedAt: Date
}

const markMinute: Statement<[roles: readonly string[], at: Date], unknown> = statement(
  'mark-minute',
  z.unknown(),
)

/** Says that a process is there, and that its roles did their work in this minute. */
export async function markPresent(db: Db, process: ServiceProcess, seenAt: Date): Promise<void> {
  const { id } = process
  await db.serviceProcess.upsert({
    where: { id },
    create: { ...process, seenAt },
    update: { seenAt },
  })
  await markMinute(db, process.roles.split(','), seenAt)
}

export async function forgetProcess(db: Db, id: string): Promise<void> {
  await db.serviceProcess.deleteMany({ where: { id } })
}

/** Lets go of processes that ended without saying so. */
export async function forgetProcessesSeenBefore(db: Db, before: Date): Promise<void> {
  await db.serviceProcess.deleteMany({ where: { seenAt: { lt: before } } })
}

/** The hours of each role from the one that holds `from`, oldest first. */
export async function listHoursUp(db: Db, from: Date): Promise<HourUp[]> {
  const hour = new Date(from)
  hour.setUTCMinutes(0, 0, 0)
  const rows = await db.uptimeHour.findMany({ where: { hour: { gte: hour } }, orderBy: { hour: 'asc' } })
  return rows.map(({ role, hour, minutes }) => ({ role, hourMs: hour.getTime(), minutes }))
}
