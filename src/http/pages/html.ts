/** Text that is markup already; everything else is escaped when it is put into a page. */
export interface Markup {
  readonly markup: string
}

type Part = Markup | string | number | null | undefined | readonly Part[]

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
}

function rendered(part: Part): string {
  if (part === null || part === undefined) return ''
  if (typeof part === 'object' && 'markup' in part) return part.markup
  if (typeof part === 'object') return part.map(rendered).join('')
  return String(part).replace(/[&<>"']/g, (character) => ESCAPES[character] ?? character)
}

/**
 * Markup from a template; every value is escaped unless it is markup itself.
 * @example html`<p>${'a < b'}</p>`.markup // '<p>a &lt; b</p>'
 */
export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Markup {
  return { markup: strings.reduce((text, string, index) => text + rendered(parts[index - 1]) + string) }
}

/** SVG or other markup that was made by code which escapes for itself. */
export function trusted(markup: string): Markup {
  return { markup }
}

/** Attributes of a table that may be wider than a phone: the keyboard reaches it, to move it sideways. */
export const SCROLLING = trusted('class="scroll" role="group" tabindex="0" aria-label="table"')

export interface PageParts {
  readonly title: string
  readonly language: string
  readonly head?: Markup
  readonly body: Markup
}

/** A whole page. */
export function page({ title, language, head, body }: PageParts): string {
  return html`<!doctype html>
    <html lang="${language}">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>${title}</title>
        ${head}
      </head>
      <body>
        ${body}
      </body>
    </html>`.markup
}
