import type { Prisma } from '../generated/prisma/client.ts'
import type { Db } from './database.ts'

/** A USSD dialogue between two keys; a phone has one at a time. */
export interface StoredDialogue {
  readonly gateway: string
  /** The network's dialogue id. */
  readonly id: string
  readonly number: string
  /** What the menus keep; only they know its shape. */
  readonly state: unknown
  readonly updatedAt: Date
}

/** A dialogue to store; its state is plain JSON. */
export interface NewDialogue extends StoredDialogue {
  readonly state: Prisma.InputJsonObject
}

/** The newest dialogue of a phone since an instant. */
export async function findDialogue(db: Db, number: string, since: Date): Promise<StoredDialogue | undefined> {
  const where = { number, updatedAt: { gte: since } }
  return (await db.dialogue.findFirst({ where, orderBy: { updatedAt: 'desc' } })) ?? undefined
}

/** Stores the one dialogue of a phone; earlier ones are over. */
export async function putDialogue(db: Db, dialogue: NewDialogue): Promise<void> {
  const { gateway, id, number, state, updatedAt } = dialogue
  await db.dialogue.deleteMany({ where: { number, NOT: { gateway, id } } })
  const data = { number, state, updatedAt }
  await db.dialogue.upsert({
    where: { gateway_id: { gateway, id } },
    create: { gateway, id, ...data },
    update: data,
  })
}

/** Forgets the dialogues last touched before an instant; answers how many. */
export async function forgetDialogues(db: Db, before: Date): Promise<number> {
  return (await db.dialogue.deleteMany({ where: { updatedAt: { lt: before } } })).count
}
