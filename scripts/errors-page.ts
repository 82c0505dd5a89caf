import { format, resolveConfig } from 'prettier'
import { readPhraseBooks } from '../src/main/phrase-books.ts'
import { PHRASES } from '../src/core/texts/catalogue/phrases.ts'
import { REFUSALS } from '../src/core/refusals.ts'
import { render } from '../src/core/texts/phrases.ts'

/** The page of every refusal of the API and every problem of a text, as it should read. */
export async function errorsPage(): Promise<string> {
  const refusals = Object.entries(REFUSALS).map(
    ([code, { status, title }]) => `| \`${code}\` | ${status} | ${title} |`,
  )
  const page = [
    '# Errors',
    '',
    'Every expected "no" has a stable code and a sentence the reader can act on. This page is written from the code by `npm run docs`; a test compares it.',
    '',
    '## The API',
    '',
    'Answers are problem documents (RFC 9457, `application/problem+json`): `type`, `title`, `status`, `code` and `detail`, which says what to do. Some carry more facts, such as `candidates` or `issues`. A fault of ours is `internal`, 500.',
    '',
    '| code | status | title |',
    '| --- | --- | --- |',
    ...refusals,
    '',
    '## Texts',
    '',
    'A text that cannot be taken is answered with what is wrong, what was understood, and what to send instead.',
    '',
    '| code | the English phrase |',
    '| --- | --- |',
    ...textProblems(),
    '',
  ].join('\n')
  return format(page, { ...(await resolveConfig('docs/errors.md')), parser: 'markdown' })
}

function textProblems(): string[] {
  const english = readPhraseBooks().get('en')
  if (english === undefined) throw new Error('the English phrase book is missing')
  return Object.keys(PHRASES)
    .filter((key) => key.startsWith('error-'))
    .map((key) => {
      // The keys of the catalogue are phrase keys.
      const phrase = render(english, key as keyof typeof PHRASES, { word: '…' })
      return `| \`${key.slice('error-'.length)}\` | ${phrase} |`
    })
}
