import { z } from 'zod'
import type { Day } from '../days/day.ts'
import { DISCARD_REASONS } from '../vials/discard-reason.ts'
import type { TextErrorCode } from '../texts/catalogue/phrases.ts'
import { isTextErrorCode } from '../texts/phrases.ts'

/** The steps of every USSD task, and a dialogue as it is stored between two keys. */

// A whole number of days is a Day.
const day = z.int().transform((days) => days as Day)
const sex = z.enum(['female', 'male'])
const doses = { card: z.string(), vaccines: z.array(z.string()) }
/** What the child that is looked for is wanted for. */
const purpose = z.enum(['doses', 'reaction'])
const alike = z.object({ card: z.string(), child: z.string() })

/** What has been answered of an enrolment, one question after the other. */
const born = { village: z.string(), birthOn: day }
const known = { ...born, sex, phone: z.string().nullable() }
const enrolment = { ...known, name: z.string(), isKnownToBeNew: z.boolean() }

/** What menus ask of a vial before it is opened or used again; `monitor-past` speaks of its monitor. */
export const FAULTS = ['frozen', 'not-kept-cold', 'stopper-wet', 'not-clean', 'monitor-past'] as const

const vial = { vial: z.string(), vaccine: z.string() }
const opening = { vaccine: z.string(), lot: z.string(), expiry: day }
const signs = { card: z.string(), signs: z.array(z.string()) }
const reading = { fridge: z.string(), celsius: z.number() }

const stepSchema = z.discriminatedUnion('step', [
  z.object({ step: z.literal('vaccinator-home') }),
  z.object({ step: z.literal('manager-home') }),
  z.object({ step: z.literal('family-home') }),
  /** Lies on top of a trail that broke off. */
  z.object({ step: z.literal('resume') }),
  /** Lies on top of a step whose deed asks for the PIN. */
  z.object({ step: z.literal('pin') }),
  z.object({ step: z.literal('new-pin') }),
  /** What came of a deed. */
  z.object({
    step: z.literal('result'),
    text: z.string(),
    /** The card just made, whose vaccines come next. */
    card: z.string().nullable(),
    takesCard: z.boolean(),
    ends: z.boolean(),
  }),

  z.object({ step: z.literal('card') }),
  z.object({ step: z.literal('find-village'), purpose }),
  z.object({ step: z.literal('find-name'), purpose, villageId: z.string() }),
  z.object({ step: z.literal('found'), purpose, villageId: z.string(), name: z.string() }),
  z.object({ step: z.literal('vaccines'), ...doses }),
  z.object({ step: z.literal('other-vaccines'), ...doses }),
  z.object({ step: z.literal('check-doses'), ...doses, on: day }),
  z.object({ step: z.literal('which-day'), ...doses, on: day }),
  z.object({ step: z.literal('due') }),

  z.object({ step: z.literal('village') }),
  z.object({ step: z.literal('birth'), village: z.string() }),
  z.object({ step: z.literal('sex'), ...born }),
  z.object({ step: z.literal('phone'), ...born, sex }),
  z.object({ step: z.literal('name'), ...known }),
  z.object({ step: z.literal('check-enrolment'), ...enrolment }),
  z.object({ step: z.literal('alike'), ...enrolment, children: z.array(alike) }),

  z.object({ step: z.literal('vials') }),
  z.object({ step: z.literal('which-vaccine') }),
  z.object({ step: z.literal('lot'), vaccine: z.string() }),
  z.object({ step: z.literal('expiry'), vaccine: z.string(), lot: z.string() }),
  z.object({ step: z.literal('conditions'), ...opening }),
  z.object({ step: z.literal('check-opening'), ...opening }),
  z.object({ step: z.literal('vial'), ...vial }),
  z.object({ step: z.literal('conditions-again'), ...vial }),
  z.object({ step: z.literal('use-again'), ...vial }),
  z.object({ step: z.literal('vial-fault'), fault: z.enum(FAULTS) }),
  z.object({ step: z.literal('why'), ...vial }),
  z.object({ step: z.literal('check-discard'), ...vial, reason: z.enum(DISCARD_REASONS) }),

  z.object({ step: z.literal('reaction-card') }),
  z.object({ step: z.literal('signs'), ...signs }),
  z.object({ step: z.literal('check-signs'), ...signs }),
  z.object({ step: z.literal('fridge') }),
  z.object({ step: z.literal('degrees'), fridge: z.string() }),
  z.object({ step: z.literal('check-degrees'), ...reading }),

  z.object({ step: z.literal('undo') }),
  z.object({ step: z.literal('technique') }),
  z.object({
    step: z.literal('technique-card'),
    topic: z.enum(['fipv', 'vial', 'cold', 'after', 'reaction']),
  }),

  z.object({ step: z.literal('which-visit') }),
  z.object({ step: z.literal('move'), childId: z.string() }),
  z.object({ step: z.literal('after') }),
  z.object({ step: z.literal('language') }),
  z.object({ step: z.literal('check-language'), language: z.string() }),
  z.object({ step: z.literal('stop') }),
  z.object({ step: z.literal('start') }),

  z.object({ step: z.literal('which-place'), figure: z.enum(['coverage', 'missed']) }),
  z.object({ step: z.literal('coverage'), villageId: z.string().nullable() }),
  z.object({ step: z.literal('missed'), villageId: z.string().nullable() }),
])

/** Where a dialogue stands: one question or one list, with what was answered before it. */
export type Step = z.infer<typeof stepSchema>
/** By which a step is known. */
export type StepName = Step['step']
/** A step of a name, with what was answered before it. */
export type StepOf<Name extends StepName> = Extract<Step, { step: Name }>

const problemSchema = z.object({
  code: z.custom<TextErrorCode>((code) => typeof code === 'string' && isTextErrorCode(code)),
  word: z.string(),
})

/** Why what was typed could not be taken. */
export type Problem = z.infer<typeof problemSchema>

/** The shape in which a dialogue is stored. */
export const dialogueSchema = z.object({
  /** The way back, the home menu first; no step stands on it twice. */
  steps: z.array(stepSchema).min(1),
  /** Page of the last step, from 0. */
  page: z.int().nonnegative(),
  /** True when the last key meant nothing. */
  isSlip: z.boolean(),
  problem: problemSchema.nullable(),
  /** The screen as it was sent; "" before the first. */
  shown: z.string(),
  isOver: z.boolean(),
})

/** A dialogue between two keys. */
export type Dialogue = z.infer<typeof dialogueSchema>
