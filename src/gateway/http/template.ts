/** JSON whose texts may hold placeholders such as `{{to}}`. */
export type Template =
  string | number | boolean | null | readonly Template[] | { readonly [key: string]: Template }

/** What stands behind each placeholder; `null` is "there is none". */
export type TemplateValues = Readonly<Record<string, string | number | null>>

const PLACEHOLDER = /\{\{([\w.-]+)\}\}/g
const ONLY_A_PLACEHOLDER = /^\{\{([\w.-]+)\}\}$/

/**
 * Fills a text. `escape` makes each value safe for where the text goes; nothing stands for `null`.
 * @example fillText('/texts/{{id}}', { id: 'a b' }, encodeURIComponent) // '/texts/a%20b'
 */
export function fillText(
  text: string,
  values: TemplateValues,
  escape: (value: string) => string = (value) => value,
): string {
  return text.replace(PLACEHOLDER, (_, name: string) => escape(String(values[name] ?? '')))
}

/**
 * Fills every text of a template. A text that is nothing but a placeholder becomes the value itself (a number
 * stays a number), and a field whose value is `null` is left out.
 * @example fill({ to: '{{to}}', ttl: '{{ttl}}' }, { to: '+447700900123', ttl: null }) // { to: '+447700900123' }
 */
export function fill(template: Template, values: TemplateValues): Template {
  if (typeof template === 'string') {
    const name = ONLY_A_PLACEHOLDER.exec(template)?.[1]
    return name === undefined ? fillText(template, values) : (values[name] ?? null)
  }
  if (template === null || typeof template !== 'object') return template
  if (isList(template)) return template.map((item) => fill(item, values))
  const filled = Object.entries(template).map(([key, value]) => [key, value, fill(value, values)] as const)
  return Object.fromEntries(
    filled
      .filter(([, before, after]) => before === null || after !== null)
      .map(([key, , after]) => [key, after]),
  )
}

/** The names of all placeholders in a template or in anything made of templates, sorted, each once. */
export function placeholdersOf(template: unknown): string[] {
  const texts = JSON.stringify(template).matchAll(PLACEHOLDER)
  return [...new Set([...texts].map((match) => match[1] ?? ''))].sort()
}

/** `Array.isArray` does not narrow a readonly list. */
function isList(template: Template): template is readonly Template[] {
  return Array.isArray(template)
}
