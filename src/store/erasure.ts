import { z } from 'zod'
import type { Transaction } from './database.ts'
import { aboutAny } from './held.ts'
import { vaultOf } from './sealing/seal-client.ts'
import { statement } from './statements.ts'

/** Takes out of the tables who a child was; what is counted stays. */

/** Of records closed like this the coverage leaves out, or counts elsewhere: they stay closed as they were. */
const STAY_CLOSED = ['died', 'moved', 'duplicate']

/** The records themselves: no name, no reason, no twin, no followers; card, sex, birth and village stay. */
export async function eraseRecords(tx: Transaction, ids: readonly string[], at: Date): Promise<void> {
  const where = { id: { in: [...ids] } }
  await tx.child.updateMany({
    where: { ...where, status: { notIn: STAY_CLOSED } },
    data: { status: 'erased', awayUntil: null },
  })
  await tx.child.updateMany({
    where,
    data: {
      name: '',
      statusReason: null,
      birthGroup: null,
      birthOrder: null,
      isCompared: true,
      erasedAt: at,
    },
  })
}

/** What stands beside the records: names, words, numbers, and whose phone was told what. */
export async function eraseBelongings(
  tx: Transaction,
  ids: readonly string[],
  { by, at }: { readonly by: string; readonly at: Date },
): Promise<void> {
  const where = { childId: { in: [...ids] } }
  await tx.formerName.deleteMany({ where })
  await tx.childAddress.deleteMany({ where })
  await tx.clinicalNote.deleteMany({ where })
  await tx.childNumber.deleteMany({ where })
  await tx.statedDose.deleteMany({ where })
  await tx.childMerge.deleteMany({
    where: { OR: [{ staysId: { in: [...ids] } }, { leavesId: { in: [...ids] } }] },
  })
  await tx.calendarLink.deleteMany({ where })
  await tx.caregiver.deleteMany({ where })
  await tx.doseAgainstAdvice.updateMany({ where: { dose: where }, data: { reason: '' } })
  await tx.dose.updateMany({ where: { ...where, voidedAt: { not: null } }, data: { voidReason: '' } })
  await tx.doseNotGiven.updateMany({ where, data: { textInId: null } })
  await tx.reaction.updateMany({ where, data: { words: '', facts: {}, textInId: null } })
  await tx.alert.updateMany({ where: { ...where, closedAt: null }, data: { closedAt: at } })
  await tx.alert.updateMany({ where, data: { words: '', nextStepAt: null } })
  await eraseQuestions(tx, ids, { by, at })
}

async function eraseQuestions(
  tx: Transaction,
  ids: readonly string[],
  { by, at }: { readonly by: string; readonly at: Date },
): Promise<void> {
  const where = aboutAny(ids)
  const closing = { closedAt: at, closedBy: by, outcome: 'erased' }
  await tx.reviewItem.updateMany({ where: { ...where, closedAt: null }, data: closing })
  const data = { note: '', reasons: [], comment: '', lineId: null, textInId: null, factsDigest: null }
  await tx.reviewItem.updateMany({ where, data })
}

const idRow = z.object({ id: z.string() })
const wipeIn = statement('wipe-texts-in', idRow)
const wipeOut = statement('wipe-texts-out', idRow)

interface TextIds {
  readonly in: readonly string[]
  readonly out: readonly string[]
}

/** Leaves of texts that there was one, when, and from or to which number. */
export async function eraseTexts(tx: Transaction, texts: TextIds, at: Date): Promise<void> {
  await wipe(tx, texts, at, null)
}

/** Leaves of texts that there was one and when; answers how many. */
export function emptyTexts(tx: Transaction, texts: TextIds, at: Date): Promise<number> {
  return wipe(tx, texts, at, vaultOf(tx).seal('number', 'erased'))
}

async function wipe(tx: Transaction, texts: TextIds, at: Date, number: string | null): Promise<number> {
  const nothing = vaultOf(tx).seal('text', '')
  const came = await wipeIn(tx, [...texts.in], nothing, at, number)
  const went = await wipeOut(tx, [...texts.out], nothing, at, number)
  return came.length + went.length
}

/** No number at all, and another for each line. */
const nobody = (lineId: string): string => `erased-${lineId}`
const nobodys = (lineId: string, at: Date) => ({
  number: nobody(lineId),
  numberStart: null,
  consent: 'withdrawn',
  consentSource: null,
  consentAt: null,
  stoppedAt: at,
  preference: 'any',
})

/** Makes a number nobody's, on every line and text that has it. */
export async function eraseNumber(tx: Transaction, number: string, at: Date): Promise<void> {
  for (const { id } of await tx.phoneLine.findMany({ where: { number }, select: { id: true } })) {
    await tx.phoneLine.update({ where: { id }, data: nobodys(id, at) })
    await tx.textIn.updateMany({
      where: { fromNumber: number },
      data: { fromNumber: nobody(id), body: '', emptiedAt: at },
    })
    await tx.textOut.updateMany({
      where: { number },
      data: { number: nobody(id), numberStart: null, body: '', emptiedAt: at },
    })
  }
  await tx.dialogue.deleteMany({ where: { number } })
}

/** Turns a child's reminders away from a line that stays, to one that is nobody's: they count, and lead to no family. */
export async function turnRemindersAway(
  tx: Transaction,
  ids: readonly string[],
  { lineId, nobodysId, at }: { readonly lineId: string; readonly nobodysId: string; readonly at: Date },
): Promise<void> {
  const where = { lineId, childId: { in: [...ids] } }
  if ((await tx.reminder.count({ where })) === 0) return
  const { districtId, language } = await tx.phoneLine.findUniqueOrThrow({ where: { id: lineId } })
  await tx.phoneLine.create({
    data: { id: nobodysId, districtId, language, createdAt: at, ...nobodys(nobodysId, at) },
  })
  await tx.reminder.updateMany({ where, data: { lineId: nobodysId, textOutId: null } })
}
