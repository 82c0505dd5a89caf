import type { RequestConfig } from './http-config.ts'
import { textsAt } from './field-path.ts'
import { decodeText } from './form-body.ts'
import { writeContent } from './content.ts'
import { fillText, type TemplateValues } from './template.ts'

/** What came of asking the provider. */
export type ProviderReply =
  | {
      readonly kind: 'answered'
      readonly status: number
      readonly fields: unknown
      readonly retryAfterMs: number | null
    }
  /** The request certainly did not reach the provider. */
  | { readonly kind: 'not-sent'; readonly reason: string }
  /** The request may have reached the provider. */
  | { readonly kind: 'no-answer'; readonly reason: string }

/** Failures of `fetch` that happen before the first byte is sent. */
const BEFORE_SENDING = new Set([
  'ECONNREFUSED',
  'ENOTFOUND',
  'EAI_AGAIN',
  'UND_ERR_CONNECT_TIMEOUT',
  'ERR_INVALID_URL',
])

/** Makes one request and reads its answer; it never throws. */
export async function askProvider(config: RequestConfig, values: TemplateValues): Promise<ProviderReply> {
  try {
    const response = await fetch(fillText(config.url, values, encodeURIComponent), {
      method: config.method,
      headers: headersOf(config, values),
      redirect: 'manual',
      signal: AbortSignal.timeout(config.timeoutMs),
      ...(config.body && { body: writeContent(config.body.contentType, config.body.content, values) }),
    })
    const body = decodeText(Buffer.from(await response.arrayBuffer()))
    const retryAfterMs = readRetryAfter(response.headers.get('retry-after'))
    return { kind: 'answered', status: response.status, fields: readAnswer(body), retryAfterMs }
  } catch (error) {
    return notAnswered(error)
  }
}

function headersOf({ headers, body }: RequestConfig, values: TemplateValues): [string, string][] {
  const filled = Object.entries(headers).map(([name, value]): [string, string] => [
    name,
    fillText(value, values),
  ])
  return body === undefined ? filled : [['content-type', body.contentType], ...filled]
}

/** An answer that is no JSON is one text, found at the path `body`. */
function readAnswer(body: string): unknown {
  try {
    const parsed: unknown = JSON.parse(body)
    return parsed
  } catch {
    // Plain text answers are common and well-formed in their own way.
    return { body: body.trim() }
  }
}

/** The delay form of Retry-After (RFC 9110 §10.2.3); the date form is left to our own back-off. */
/** The seconds of Retry-After (RFC 9110 §10.2.3) in milliseconds; a date is needed by nobody we know of. */
export function readRetryAfter(header: string | null): number | null {
  return header !== null && /^\d{1,6}$/.test(header) ? Number(header) * 1000 : null
}

function notAnswered(error: unknown): ProviderReply {
  const [code = ''] = [...textsAt(error, 'cause.code'), ...textsAt(error, 'code')]
  return BEFORE_SENDING.has(code)
    ? { kind: 'not-sent', reason: code }
    : { kind: 'no-answer', reason: code === '' ? nameOf(error) : code }
}

function nameOf(error: unknown): string {
  return error instanceof Error ? error.name : 'failure'
}
