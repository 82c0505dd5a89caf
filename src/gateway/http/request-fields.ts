import { Refusal } from '../../core/refusals.ts'
import { decodeForm, decodeText } from './form-body.ts'

/**
 * The fields of a request, read by what the body is rather than by what it claims: providers send forms
 * without a content type and JSON as text/plain. What begins like JSON is JSON; anything else is a form.
 * @throws {Refusal} body-malformed
 */
export function readFields(body: Buffer, query: string): unknown {
  const text = decodeText(body).trim()
  if (text.startsWith('{') || text.startsWith('[')) return readJson(text)
  const fields = { ...decodeForm(Buffer.from(query, 'latin1')), ...decodeForm(body) }
  if (Object.keys(fields).length > 0) return fields
  throw new Refusal('body-malformed', 'The request holds no fields: send a form or a JSON object.')
}

function readJson(text: string): unknown {
  try {
    const parsed: unknown = JSON.parse(text)
    return parsed
  } catch (cause) {
    throw new Refusal('body-malformed', 'The body begins like JSON but cannot be read as JSON.', { cause })
  }
}
