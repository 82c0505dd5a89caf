import { z } from 'zod'
import { endDecision, noteDecision } from '../../app/clinical-notes.ts'
import { decisionsInForce, decisionsOf, districtOfChild } from '../../app/views.ts'
import type { ClinicalNote } from '../../app/views.ts'
import { formatDay } from '../../core/days/day.ts'
import { route } from '../route.ts'
import { dayIn, dayOut, id, noBody, none } from '../shapes.ts'

const ROLES = ['manager', 'officer'] as const
const vaccine = z.string().max(20)
const risk = z.string().regex(/^[a-z][a-z-]*$/, 'Write the risk as the schedule does, like preterm.')

const noteShape = z
  .object({
    id,
    childId: id,
    decision: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('put-off'), vaccine, until: dayOut }),
      z.object({ kind: z.literal('risk'), risk: z.string() }),
    ]),
    reason: z.string(),
    decidedBy: z.string(),
    notedBy: z.string(),
    notedOn: dayOut,
    endedOn: dayOut.nullable(),
    endedBy: z.string().nullable(),
  })
  .meta({ id: 'ClinicalNote' })
const notesShape = z.object({ notes: z.array(noteShape) })

function noteJson({ decision, notedOn, endedOn, ...note }: ClinicalNote): z.input<typeof noteShape> {
  return {
    id: note.id,
    childId: note.childId,
    reason: note.reason,
    decidedBy: note.decidedBy,
    notedBy: note.notedBy,
    endedBy: note.endedBy,
    decision: decision.kind === 'risk' ? decision : { ...decision, until: formatDay(decision.until) },
    notedOn: formatDay(notedOn),
    endedOn: endedOn === null ? null : formatDay(endedOn),
  }
}

const ofChild = z.object({ childId: id })

const add = route({
  method: 'post',
  path: '/v1/children/{childId}/clinical-notes',
  tag: 'Children',
  summary:
    "Write down a clinician's decision for one child: a vaccine put off, or a risk the schedule asks for",
  roles: ROLES,
  params: ofChild,
  query: none,
  body: z.object({
    decision: z.discriminatedUnion('kind', [
      z.object({ kind: z.literal('put-off'), vaccine, until: dayIn }),
      z.object({ kind: z.literal('risk'), risk }),
    ]),
    reason: z.string().trim().min(1).max(300),
    decidedBy: z.string().trim().min(1).max(120).describe('Name or office of the clinician.'),
  }),
  status: 201,
  answer: noteShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params, body }) =>
    noteJson(await noteDecision(db, deps, { ...params, ...body, by: principal.name })),
})

const list = route({
  method: 'get',
  path: '/v1/children/{childId}/clinical-notes',
  tag: 'Children',
  summary: 'What clinicians decided for a child, ended decisions too, the newest first',
  roles: ROLES,
  params: ofChild,
  query: none,
  body: noBody,
  status: 200,
  answer: notesShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, params }) => ({ notes: (await decisionsOf(db, params.childId)).map(noteJson) }),
})

const end = route({
  method: 'post',
  path: '/v1/children/{childId}/clinical-notes/{noteId}/end',
  tag: 'Children',
  summary: "End a clinician's decision; the schedule alone counts again",
  roles: ROLES,
  params: ofChild.extend({ noteId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: notesShape,
  contentType: 'application/json',
  district: ({ db, params }) => districtOfChild(db, params.childId),
  handle: async ({ db, deps, principal, params }) => {
    await endDecision(db, deps, { ...params, by: principal.name })
    return { notes: (await decisionsOf(db, params.childId)).map(noteJson) }
  },
})

const review = route({
  method: 'get',
  path: '/v1/districts/{districtId}/clinical-notes',
  tag: 'Children',
  summary: 'Decisions in force in a district, the oldest first, to be looked at again',
  roles: ROLES,
  params: z.object({ districtId: id }),
  query: none,
  body: noBody,
  status: 200,
  answer: notesShape,
  contentType: 'application/json',
  district: ({ params }) => params.districtId,
  handle: async ({ db, params }) => ({
    notes: (await decisionsInForce(db, params.districtId)).map(noteJson),
  }),
})

export const CLINICAL_NOTE_ROUTES = [add, list, end, review]
