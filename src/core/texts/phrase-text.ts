/** One phrase as ICU text: reading it, and what is wrong with it. */
import { IntlMessageFormat } from 'intl-messageformat'
import type { Checked } from '../checked-data.ts'
import type { PhraseSpec } from './catalogue/placeholders.ts'

export interface PhraseFault {
  readonly kind:
    | 'apostrophe'
    | 'placeholder-missing'
    | 'placeholder-unknown'
    | 'plural-form-missing'
    | 'element-not-allowed'
  /** What to mend, in a sentence. */
  readonly detail: string
}

type Element = ReturnType<IntlMessageFormat['getAst']>[number]

/** Numbers of the parser's element types that a phrase may use. */
const ELEMENT = { literal: 0, argument: 1, plural: 6, pound: 7 } as const

/** Counts that between them need every plural form of the CLDR languages. */
export const PLURAL_COUNTS = [0, 1, 2, 3, 11, 21, 100] as const

/** Compiles a phrase, or says why it is not ICU MessageFormat. */
export function compilePhrase(text: string, language: string): Checked<IntlMessageFormat> {
  try {
    // Latin digits in every language, and "<" as an ordinary sign.
    const message = new IntlMessageFormat(text, `${language}-u-nu-latn`, undefined, { ignoreTag: true })
    return { kind: 'valid', value: message }
  } catch (error) {
    return { kind: 'invalid', problems: [`this is not ICU MessageFormat (${String(error)})`] }
  }
}

function allElements(elements: readonly Element[]): Element[] {
  return elements.flatMap((element) =>
    'options' in element
      ? [element, ...Object.values(element.options).flatMap((option) => allElements(option.value))]
      : [element],
  )
}

/** What is wrong with a phrase that compiles, against its entry in the catalogue. */
export function phraseFaults(
  text: string,
  message: IntlMessageFormat,
  spec: PhraseSpec,
  language: string,
): readonly PhraseFault[] {
  const elements = allElements(message.getAst())
  return [
    ...apostropheFaults(text),
    ...elementFaults(elements),
    ...placeholderFaults(elements, spec),
    ...pluralFaults(elements, language),
  ]
}

/** A single apostrophe before a brace makes the brace plain text, and the placeholder is lost. */
function apostropheFaults(text: string): PhraseFault[] {
  return /(?<!')(?:'')*'(?!')(?=[{}#])/u.test(text)
    ? [{ kind: 'apostrophe', detail: "Write '' or ’ for an apostrophe before a brace." }]
    : []
}

function elementFaults(elements: readonly Element[]): PhraseFault[] {
  const allowed: readonly number[] = Object.values(ELEMENT)
  return elements.every((element) => allowed.includes(element.type))
    ? []
    : [
        {
          kind: 'element-not-allowed',
          detail: 'Use only {placeholders}, plural and #; values come ready to read.',
        },
      ]
}

function placeholderFaults(elements: readonly Element[], spec: PhraseSpec): PhraseFault[] {
  const found = new Set(elements.filter(isNamed).map((element) => element.value))
  const wanted = new Set<string>(spec.takes)
  const missing = [...wanted].filter((name) => !found.has(name))
  const unknown = [...found].filter((name) => !wanted.has(name))
  return [
    ...missing.map((name) => ({
      kind: 'placeholder-missing' as const,
      detail: `Put {${name}} into the text.`,
    })),
    ...unknown.map((name) => ({
      kind: 'placeholder-unknown' as const,
      detail: `Take {${name}} out of the text.`,
    })),
  ]
}

function isNamed(element: Element): element is Extract<Element, { value: string }> {
  const type: number = element.type
  return type === ELEMENT.argument || type === ELEMENT.plural
}

function pluralFaults(elements: readonly Element[], language: string): PhraseFault[] {
  const rules = new Intl.PluralRules(language)
  const lacking = elements
    .filter((element) => 'pluralType' in element)
    .flatMap(({ options }) =>
      PLURAL_COUNTS.filter((count) => !(`=${count}` in options) && !(rules.select(count) in options)),
    )
  return [...new Set(lacking.map((count) => rules.select(count)))].map((form) => ({
    kind: 'plural-form-missing',
    detail: `Add the plural form "${form}".`,
  }))
}
