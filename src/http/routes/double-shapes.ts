import { z } from 'zod'
import type { ListedMerge, SideBySide } from '../../app/doubles/view-doubles.ts'
import type { Double } from '../../app/doubles/settle-double.ts'
import { CHOSEN_FACTS } from '../../core/children/proposed-merge.ts'
import { formatDay } from '../../core/days/day.ts'
import { childJson, childShape, dayOut, id } from '../shapes.ts'

const instant = z.iso.datetime()

export const doubleShape = z
  .object({
    id,
    kind: z.enum(['double', 'dose-twice']),
    childIds: z.array(id),
    doseIds: z.array(id),
    points: z.number().nullable(),
    reasons: z.array(z.object({ fact: z.string(), says: z.string(), points: z.number() })),
    raisedBy: z.string().nullable().describe('Null: found by rule.'),
    comment: z.string().nullable(),
    since: instant,
    settledAt: instant.nullable(),
    outcome: z.string().nullable(),
  })
  .meta({ id: 'Double' })

export function doubleJson(item: Double): z.input<typeof doubleShape> {
  return {
    id: item.id,
    kind: item.kind,
    childIds: [item.childId, item.otherChildId].filter((one) => one !== null),
    doseIds: [item.doseId, item.otherDoseId].filter((one) => one !== null),
    points: item.points,
    reasons: item.reasons ?? [],
    raisedBy: item.raisedBy,
    comment: item.comment,
    since: item.createdAt.toISOString(),
    settledAt: item.closedAt?.toISOString() ?? null,
    outcome: item.outcome,
  }
}

/** How many pairs were settled in which way. */
export const settledShape = z.object({
  kind: z.enum(['double', 'dose-twice']),
  outcome: z.string(),
  pairs: z.int(),
})

export const mergeShape = z
  .object({
    id,
    staysId: id,
    leavesId: id,
    mergedBy: z.string(),
    mergedAt: instant,
    undoneAt: instant.nullable(),
    comment: z.string().nullable(),
  })
  .meta({ id: 'Merge' })

export function mergeJson(merge: ListedMerge): z.input<typeof mergeShape> {
  const { id: mergeId, staysId, leavesId, mergedBy, mergedAt, undoneAt, comment } = merge
  return {
    id: mergeId,
    staysId,
    leavesId,
    mergedBy,
    mergedAt: mergedAt.toISOString(),
    undoneAt: undoneAt?.toISOString() ?? null,
    comment,
  }
}

const sideDose = z.object({
  id,
  vaccine: z.string(),
  givenOn: dayOut,
  recordedVia: z.string(),
  isElsewhere: z.boolean(),
  isWithdrawn: z.boolean(),
})

export const sideBySideShape = z
  .object({
    double: doubleShape,
    records: z.array(
      z.object({
        child: childShape,
        formerNames: z.array(z.string()),
        doses: z.array(sideDose),
        texts: z.int().describe('Texts about the child that went out.'),
      }),
    ),
    sameDoses: z.array(z.object({ keepDoseId: id, dropDoseId: id, because: z.string() })),
    proposed: z
      .object({
        staysId: id,
        because: z.string(),
        facts: z.array(z.object({ fact: z.enum(CHOSEN_FACTS), fromId: id, because: z.string() })),
      })
      .nullable()
      .describe('What should stay, by the rules of docs/doubles.md. Null where one child is concerned.'),
  })
  .meta({ id: 'SideBySide' })

export function sideBySideJson(pair: SideBySide): z.input<typeof sideBySideShape> {
  const { item, records, sameDoses, proposed } = pair
  return {
    double: doubleJson(item),
    records: records.map((record) => ({
      child: childJson(record),
      formerNames: [...record.formerNames],
      doses: record.doses.map((dose) => ({
        id: dose.id,
        vaccine: dose.vaccine,
        givenOn: formatDay(dose.givenOn),
        recordedVia: dose.recordedVia,
        isElsewhere: dose.isElsewhere,
        isWithdrawn: dose.voidedAt !== null,
      })),
      texts: record.texts,
    })),
    sameDoses: sameDoses.map(({ keep, drop, because }) => ({
      keepDoseId: keep.id,
      dropDoseId: drop.id,
      because,
    })),
    proposed: proposed === null ? null : { ...proposed, facts: proposed.facts.map((fact) => ({ ...fact })) },
  }
}

const changedPair = z.object({
  childIds: z.tuple([id, id]).readonly(),
  names: z.tuple([z.string(), z.string()]).readonly(),
  pointsNow: z.number().nullable().describe('Null: twins, whatever the points.'),
  pointsThen: z.number().nullable(),
})

export const trialShape = z
  .object({
    found: z.int().describe('Pairs found under both.'),
    added: z.array(changedPair).readonly(),
    dropped: z.array(changedPair).readonly(),
  })
  .meta({ id: 'RuleTrial' })
