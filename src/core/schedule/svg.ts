/** Writes SVG as text; every value is escaped. */

type Value = string | number

const ESCAPES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }

/** To a tenth of a unit: finer than any screen, and short. */
function short(value: number): string {
  return String(Math.round(value * 10) / 10)
}

function escape(value: Value): string {
  const text = typeof value === 'number' ? short(value) : value
  return text.replace(/[&<>"]/g, (character) => ESCAPES[character] ?? character)
}

/** An element whose content is markup made here. */
export function element(
  name: string,
  attributes: Readonly<Record<string, Value>>,
  ...content: string[]
): string {
  const written = Object.entries(attributes).map(([key, value]) => ` ${key}="${escape(value)}"`)
  return `<${name}${written.join('')}>${content.join('')}</${name}>`
}

/** An element whose content is plain text. */
export function textElement(name: string, attributes: Readonly<Record<string, Value>>, text: string): string {
  return element(name, attributes, escape(text))
}

/** A shape drawn around the origin, put in its place, that says what it is about when pointed at. */
export function mark({ x, y, about }: { x: number; y: number; about: string }, ...shapes: string[]): string {
  const transform = `translate(${short(x)} ${short(y)})`
  return element('g', { transform }, textElement('title', {}, about), ...shapes)
}

interface Picture {
  /** Unique in a page. */
  readonly id: string
  readonly title: string
  readonly description: string
  readonly width: number
  readonly height: number
}

/** A picture that screen readers announce by its title and description. */
export function picture(
  { id, title, description, width, height }: Picture,
  content: readonly string[],
): string {
  return element(
    'svg',
    {
      xmlns: 'http://www.w3.org/2000/svg',
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      role: 'img',
      'aria-labelledby': `${id}-title ${id}-description`,
      'font-family': 'sans-serif',
      'font-size': 12,
    },
    textElement('title', { id: `${id}-title` }, title),
    textElement('desc', { id: `${id}-description` }, description),
    element('rect', { width, height, fill: '#ffffff' }),
    ...content,
  )
}
