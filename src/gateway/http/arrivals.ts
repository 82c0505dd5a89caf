import type { IncomingText, Receipt, ScreenRequest } from '../../app/ports.ts'
import { Refusal } from '../../core/refusals.ts'
import { arrivedNumber, arrivedText } from '../arrived-text.ts'
import { textsAt, valuesAt } from './field-path.ts'
import type { HttpGatewayConfig, ReceiptFields, ScreenArrival, TextArrival } from './http-config.ts'
import { readTime } from './written-time.ts'

/** What is the same for everything that arrives from one provider. */
export interface Provider {
  readonly name: string
  readonly numbers: HttpGatewayConfig['numbers']
  /** Names a text that came without an id. */
  readonly keyOf: (...pieces: readonly string[]) => string
  /** Told of fields that came more than once; the first is used. */
  readonly onRepeatedField: (path: string) => void
}

/** The texts in what the provider sent. @throws {Refusal} input-invalid */
export function textsIn(data: unknown, { each, fields }: TextArrival, provider: Provider): IncomingText[] {
  return itemsIn(data, each).map((item) => {
    const read = (path: string | undefined): string => optional(item, path, provider) ?? ''
    const from = arrivedNumber(required(item, fields.from, provider), provider.numbers)
    const to = read(fields.to)
    const body = arrivedText(required(item, fields.body, provider))
    const key =
      fields.key === undefined ? provider.keyOf(from, to, body) : required(item, fields.key, provider)
    return { gateway: provider.name, key, from, to, body }
  })
}

/** The receipts in what the provider sent. @throws {Refusal} input-invalid */
export function receiptsIn(data: unknown, rules: ReceiptFields, provider: Provider): Receipt[] {
  return itemsIn(data, rules.each).map((item) => {
    const state = required(item, rules.fields.state, provider)
    const at = optional(item, rules.fields.at, provider)
    return {
      gateway: provider.name,
      providerId: required(item, rules.fields.providerId, provider),
      state: Object.hasOwn(rules.states, state) ? (rules.states[state] ?? 'unknown') : 'unknown',
      reason: optional(item, rules.fields.reason, provider) ?? null,
      at: at === undefined ? null : readTime(at, rules.atIs),
    }
  })
}

/** The USSD step in what the provider sent. @throws {Refusal} input-invalid */
export function screenIn(data: unknown, rules: ScreenArrival, provider: Provider): ScreenRequest {
  const { fields, first } = rules
  const trail = optional(data, fields.typed, provider) ?? ''
  const typed = rules.typedIs === 'whole-trail' ? lastStep(trail, rules.separator) : trail
  const isFirst =
    first === undefined ? trail === '' : textsAt(data, first.field).some((text) => first.is.includes(text))
  const code = optional(data, fields.code, provider)
  return {
    gateway: provider.name,
    dialogue: required(data, fields.dialogue, provider),
    from: arrivedNumber(required(data, fields.from, provider), provider.numbers),
    typed: arrivedText(isFirst ? (code ?? typed) : typed),
    isFirst,
    // A trail grows with every step, so the same trail again is the same step.
    ...(rules.typedIs === 'whole-trail' ? { key: trail } : {}),
  }
}

function lastStep(trail: string, separator: string): string {
  return trail.split(separator).at(-1) ?? ''
}

function itemsIn(data: unknown, each: string | undefined): unknown[] {
  return each === undefined ? [data] : valuesAt(data, `${each}.*`)
}

function required(item: unknown, path: string, provider: Provider): string {
  const text = optional(item, path, provider)
  if (text === undefined) throw new Refusal('input-invalid', `The field "${path}" is missing.`)
  return text
}

function optional(item: unknown, path: string | undefined, provider: Provider): string | undefined {
  if (path === undefined) return undefined
  const [text, ...more] = textsAt(item, path)
  if (more.length > 0) provider.onRepeatedField(path)
  return text
}
