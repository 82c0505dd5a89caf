import { fill, fillText, type Template, type TemplateValues } from './template.ts'

/**
 * Writes a body in its content type: JSON is serialised, a form is encoded, XML and HTML get their values
 * escaped, anything else is filled as it stands.
 */
export function writeContent(contentType: string, content: Template, values: TemplateValues): string {
  if (contentType.includes('json')) return JSON.stringify(fill(content, values))
  if (contentType.includes('x-www-form-urlencoded')) return writeForm(fill(content, values))
  const text = typeof content === 'string' ? content : JSON.stringify(content)
  return fillText(text, values, /xml|html/.test(contentType) ? escapeMarkup : undefined)
}

function writeForm(fields: Template): string {
  const entries = Object.entries(fields ?? {}).map(([key, value]): [string, string] => [key, String(value)])
  return new URLSearchParams(entries).toString()
}

/** The five characters that mean something in XML 1.0 (§2.4), as character references. */
function escapeMarkup(value: string): string {
  return value.replace(/[&<>"']/g, (character) => `&#${String(character.charCodeAt(0))};`)
}
