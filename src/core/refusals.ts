/**
 * Every "no" the service can give, with its HTTP status and a title. Codes are part of the contract:
 * once released they are never renamed. docs/errors.md lists them; a test compares both ways.
 */
export const REFUSALS = {
  'caregiver-not-found': { status: 404, title: 'The child has no such caregiver' },
  'address-not-found': { status: 404, title: 'The child has no such address' },
  'same-child': { status: 422, title: 'The card is of the same child' },
  'child-not-found': { status: 404, title: 'No child has this identifier' },
  'card-check-digit': { status: 422, title: 'The card number does not fit its check digit' },
  'card-length': { status: 422, title: 'A card number has eight digits' },
  'village-not-found': { status: 404, title: 'No village has this identifier or name' },
  'post-taken': { status: 409, title: 'Another health post has this name or number' },
  'post-end-odd': { status: 422, title: 'A permanent health post has no last day' },
  'facility-list-unreadable': { status: 422, title: 'This is no list of facilities' },
  'difference-not-found': { status: 404, title: 'No difference from the national list has this identifier' },
  'difference-decided': { status: 409, title: 'This difference was decided before' },
  'post-not-found': { status: 404, title: 'No health post has this identifier or name' },
  'vaccinator-not-found': { status: 409, title: 'No vaccinator is on record for these villages' },
  'list-too-long': { status: 409, title: 'This list is too long to send by text' },
  'district-not-found': { status: 404, title: 'No district has this identifier or name' },
  'dose-not-found': { status: 404, title: 'No dose has this identifier' },
  'schedule-not-found': { status: 404, title: 'No schedule has this identifier' },
  'message-not-found': { status: 404, title: 'No message has this identifier' },
  'text-of-no-use': { status: 409, title: 'This text is no longer of use' },
  'review-item-not-found': { status: 404, title: 'Nothing of this identifier waits for a person' },
  'webhook-not-found': { status: 404, title: 'No webhook has this identifier' },
  'resource-not-found': { status: 404, title: 'No resource has this identifier' },
  'resource-unsupported': {
    status: 422,
    title: 'This kind of resource, or what is to be done with it, is not taken here',
  },
  'resource-invalid': { status: 422, title: 'The resource cannot be read as what it says it is' },
  'number-taken': { status: 409, title: 'This number belongs to another child' },
  'numbers-disagree': { status: 409, title: 'The numbers belong to different children' },
  'route-not-found': { status: 404, title: 'There is nothing at this address' },
  'dose-before-birth': { status: 422, title: 'A dose cannot be given before the birth' },
  'dose-in-future': { status: 422, title: 'A dose cannot be given in the future' },
  'nothing-due': { status: 409, title: 'Nothing is due' },
  'dose-already-voided': { status: 409, title: 'This dose was already withdrawn' },
  'birth-in-future': { status: 422, title: 'A birth date cannot be in the future' },
  'birth-too-long-ago': { status: 422, title: 'This birth date is outside the register' },
  'birth-after-enrolment': { status: 422, title: 'A child cannot be enrolled before its birth' },
  'phone-impossible': { status: 422, title: 'This cannot be a phone number of the district' },
  'phone-taken': { status: 409, title: 'This number belongs to someone in another district' },
  'series-unknown': { status: 422, title: 'The schedule of the district has no series of this name' },
  'vaccine-unknown': { status: 422, title: 'No vaccine of this name is known' },
  'child-may-exist': { status: 409, title: 'A child like this is already on the register' },
  'search-needs-facts': { status: 422, title: 'A search needs more facts' },
  'search-too-wide': { status: 422, title: 'Too many children fit this search' },
  'child-merged': { status: 409, title: 'This record was merged into another' },
  'children-are-twins': { status: 409, title: 'These are two children of one birth' },
  'children-of-two-districts': { status: 409, title: 'Records of two districts are not merged' },
  'doses-clash': { status: 409, title: 'Two reports of one dose would both stand' },
  'double-not-found': { status: 404, title: 'No pair with this identifier waits' },
  'double-settled': { status: 409, title: 'This pair was settled before' },
  'merge-not-found': { status: 404, title: 'No merge has this identifier' },
  'merge-undone': { status: 409, title: 'This merge was undone before' },
  'merge-has-later': { status: 409, title: 'A later merge has to be undone first' },
  'needs-yes': { status: 409, title: 'This would change what is on record; it has to be confirmed' },
  'calendar-not-found': { status: 404, title: 'There is no such calendar' },
  'group-dose-unknown': { status: 422, title: 'The schedule has no such dose' },
  'group-words-missing': { status: 422, title: 'A language of the group has no words' },
  'group-words-long': { status: 422, title: 'The text takes too many parts' },
  'budget-used-up': { status: 409, title: 'The budget of the month is used up' },
  'risk-unknown': { status: 422, title: 'The schedule asks for no such risk' },
  'put-off-past': { status: 422, title: 'A vaccine is put off to a day within two years' },
  'dose-counts': { status: 409, title: 'No rule speaks against this dose' },
  'clinical-note-not-found': { status: 404, title: 'This child has no note with this identifier' },
  'card-taken': { status: 409, title: 'This card belongs to another child' },
  'child-closed': { status: 409, title: 'This child is no longer followed' },
  'schedule-invalid': { status: 422, title: 'The schedule contradicts itself' },
  'schedule-already-published': { status: 409, title: 'This schedule has a version for this day' },
  'areas-unfit': { status: 422, title: 'The areas of the district make no tree' },
  'language-not-found': { status: 404, title: 'There is no phrase book in this language' },
  'advice-changed': { status: 409, title: 'The advice has another wording by now' },
  'wording-unfit': { status: 422, title: 'The wording does not pass the checks of the phrase books' },
  'session-rule-invalid': { status: 422, title: 'A session rule is not a valid RFC 5545 recurrence' },
  'register-columns-missing': { status: 422, title: 'The register lacks a column it needs' },
  'register-unreadable': { status: 422, title: 'The register is not a file that can be read' },
  'training-stays': {
    status: 409,
    title: 'A district stays what it was made for: practice, or real children',
  },
  'no-denominator': { status: 409, title: 'No target population is set' },
  'input-invalid': { status: 400, title: 'The request does not have the right shape' },
  'body-malformed': { status: 400, title: 'The body cannot be read' },
  'body-too-large': { status: 413, title: 'The body is too large' },
  'media-type-unsupported': { status: 415, title: 'This content type is not accepted here' },
  'too-many-requests': { status: 429, title: 'Too many requests in too short a time' },
  'not-signed-in': { status: 401, title: 'A valid token is needed' },
  'not-allowed': { status: 403, title: 'This token may not do that' },
  'signature-invalid': { status: 401, title: 'The signature does not fit the body' },
  'idempotency-key-reused': { status: 409, title: 'This key was used for a different request' },
  'person-not-found': { status: 404, title: 'No worker has this identifier' },
  'vial-not-found': { status: 404, title: 'No open vial has this identifier or number' },
  'vial-unfit': { status: 409, title: 'This vial is not to be used' },
  'vial-already-discarded': { status: 409, title: 'This vial was already discarded' },
  'discard-reason-missing': { status: 422, title: 'A discard needs a reason' },
  'alert-not-found': { status: 404, title: 'No alert has this identifier' },
  'reaction-not-found': { status: 404, title: 'No report of a reaction has this identifier' },
  'reaction-before-dose': { status: 422, title: 'A reaction cannot begin before the first dose' },
  'reaction-in-future': { status: 422, title: 'A reaction cannot begin in the future' },
  'recall-not-found': { status: 404, title: 'No recall has this identifier' },
  'recall-already-confirmed': { status: 409, title: 'This recall was already confirmed' },
  'opened-in-future': { status: 422, title: 'A vial cannot be opened in the future' },
  'nothing-to-undo': { status: 409, title: 'There is nothing to take back' },
} as const satisfies Record<string, { readonly status: number; readonly title: string }>

export type RefusalCode = keyof typeof REFUSALS

export interface RefusalOptions {
  readonly facts?: Readonly<Record<string, unknown>>
  readonly cause?: unknown
}

/**
 * An expected "no" on its way to the edge, which turns it into a problem document or a polite text.
 * `detail` is a sentence the reader can act on.
 */
export class Refusal extends Error {
  override readonly name = 'Refusal'
  readonly code: RefusalCode
  readonly detail: string
  /** What the reader may need to go on, such as the records that were found instead. */
  readonly facts: Readonly<Record<string, unknown>>

  constructor(code: RefusalCode, detail: string, options: RefusalOptions = {}) {
    super(`${code}: ${detail}`, options)
    this.code = code
    this.detail = detail
    this.facts = options.facts ?? {}
  }
}

/** Closes an exhaustive `switch`; reaching it is a bug. */
export function unreachable(value: never): never {
  throw new Error(`unreachable: ${JSON.stringify(value)}`)
}
