import type { SealKind } from './vault.ts'

type Fields = Readonly<Record<string, SealKind>>

/** The fields that say who somebody is, by table of the client, and how each is sealed. The one list of them. */
export const SEALED_FIELDS: Readonly<Record<string, Fields>> = {
  Person: { name: 'text', phone: 'number' },
  PhoneLine: { number: 'number' },
  Child: { name: 'text', statusReason: 'text', ownPlan: 'json' },
  ClinicalNote: { decision: 'json', reason: 'text', decidedBy: 'text' },
  DoseAgainstAdvice: { reason: 'text' },
  FormerName: { name: 'text' },
  ChildAddress: { address: 'text' },
  TextPin: { digest: 'text', codeDigest: 'text' },
  TextIn: { fromNumber: 'number', body: 'text', pin: 'text' },
  TextOut: { number: 'number', body: 'text' },
  Dialogue: { number: 'number', state: 'json' },
  Webhook: { secret: 'text', formerSecret: 'text' },
  ChildNumber: { number: 'number' },
  StatedDose: { number: 'number', childNumber: 'number' },
  Dose: { voidReason: 'text' },
  Reaction: { words: 'text', facts: 'json' },
  Alert: { words: 'text' },
  ReviewItem: { note: 'text', reasons: 'json', comment: 'text' },
  ChildMerge: { choices: 'json', moved: 'json', comment: 'text' },
  Vial: { discardWords: 'text' },
  Change: { before: 'json', after: 'json' },
  IdempotencyKey: { body: 'json' },
  ErasureSearch: { marks: 'json' },
  // A digest of a number, which anyone could make of every number there is.
  SignInCode: { numberDigest: 'number' },
}

/** Fields of the client that lead from one table to another, so that a filter on them is read as one on that table. */
export const RELATIONS: Readonly<Record<string, string>> = {
  person: 'Person',
  people: 'Person',
  line: 'PhoneLine',
  phoneLines: 'PhoneLine',
  child: 'Child',
  children: 'Child',
  formerNames: 'FormerName',
  addresses: 'ChildAddress',
  textIn: 'TextIn',
  textsIn: 'TextIn',
  question: 'TextIn',
  textOut: 'TextOut',
  textsOut: 'TextOut',
  answer: 'TextOut',
  changes: 'Change',
  district: 'District',
  village: 'Village',
  post: 'HealthPost',
  dose: 'Dose',
  doses: 'Dose',
}

export interface SealedColumn {
  readonly name: string
  readonly kind: SealKind
  /** Its value as text. */
  readonly text: string
}

const snake = (name: string): string =>
  name.replace(/[A-Z]/g, (letter, at: number) => `${at === 0 ? '' : '_'}${letter.toLowerCase()}`)

/** The same list as the tables have it. */
export const sealedColumns = Object.entries(SEALED_FIELDS).map(([model, fields]) => ({
  table: snake(model),
  columns: Object.entries(fields).map(([field, kind]): SealedColumn => {
    const name = snake(field)
    return { name, kind, text: kind === 'json' ? `${name} #>> '{}'` : name }
  }),
}))
