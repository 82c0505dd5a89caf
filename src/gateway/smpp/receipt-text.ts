import { DateTime } from 'luxon'
import type { Receipt } from '../../app/ports.ts'

/** What a receipt's text says; `null` where it says nothing. */
export interface ReceiptText {
  readonly id: string | null
  /** The SMSC's word, in capitals: DELIVRD, UNDELIV… */
  readonly state: string | null
  readonly error: string | null
  /** Digits as they came, in the SMSC's local time. */
  readonly doneAt: string | null
}

const LABELS = /\b(id|sub|dlvrd|submit date|done date|stat|err|text)[ ]*:/gi

/**
 * Reads the text of a receipt: `id:… sub:… dlvrd:… submit date:… done date:… stat:… err:… text:…`. SMPP 3.4
 * Appendix B calls it vendor specific, so any label may be missing, in any case and order. What follows `text:`
 * is the original message and is not read; of a repeated label the first counts.
 */
export function readReceiptText(text: string): ReceiptText {
  const values = new Map<string, string>()
  const labels = [...text.matchAll(LABELS)]
  for (const [at, label] of labels.entries()) {
    const name = (label[1] ?? '').toLowerCase()
    if (name === 'text') break
    const value = text.slice(label.index + label[0].length, labels[at + 1]?.index)
    if (!values.has(name)) values.set(name, value.trim().split(/\s/)[0] ?? '')
  }
  const read = (name: string): string | null => values.get(name) ?? null
  return {
    id: read('id'),
    state: read('stat')?.toUpperCase() ?? null,
    error: read('err'),
    doneAt: read('done date'),
  }
}

/** Words for the states of SMPP 3.4 §5.2.28, as Appendix B and vendors write them. */
const STATES: Readonly<Record<string, Receipt['state']>> = {
  DELIVRD: 'delivered',
  DELIVERED: 'delivered',
  EXPIRED: 'undelivered',
  DELETED: 'undelivered',
  UNDELIV: 'undelivered',
  UNDELIVERABLE: 'undelivered',
  REJECTD: 'undelivered',
  REJECTED: 'undelivered',
  FAILED: 'undelivered',
  NOROUTE: 'undelivered',
  ENROUTE: 'under-way',
  ACCEPTD: 'under-way',
  ACCEPTED: 'under-way',
  BUFFERD: 'under-way',
  BUFFERED: 'under-way',
}

/** The state behind a receipt's word; a word nobody knows leaves the state open. */
export function stateOfWord(word: string | null): Receipt['state'] {
  return word !== null && Object.hasOwn(STATES, word) ? (STATES[word] ?? 'unknown') : 'unknown'
}

/** The forms in which dates come: with seconds or not, with the century or not. */
const DATE_FORMS: readonly (readonly [RegExp, string])[] = [
  [/^\d{10}$/, 'yyMMddHHmm'],
  [/^20\d{10}$/, 'yyyyMMddHHmm'],
  [/^\d{12}$/, 'yyMMddHHmmss'],
  [/^\d{14}$/, 'yyyyMMddHHmmss'],
]

/**
 * The instant of a receipt's date. It carries no zone, so without knowing the SMSC's it cannot be told.
 * @example readReceiptDate('2603150901', 'Africa/Nairobi') // 2026-03-15T06:01:00Z
 */
export function readReceiptDate(digits: string | null, zone: string | null): Date | null {
  const form = DATE_FORMS.find(([pattern]) => pattern.test(digits ?? ''))?.[1]
  if (digits === null || zone === null || form === undefined) return null
  const time = DateTime.fromFormat(digits, form, { zone })
  return time.isValid ? time.toJSDate() : null
}
