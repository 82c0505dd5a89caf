import { format, resolveConfig } from 'prettier'
import { ENVIRONMENT } from '../src/platform/config.ts'

/** The page of every environment variable, as it should read: what the schema of the settings says. */
export async function settingsPage(): Promise<string> {
  const rows = Object.entries(ENVIRONMENT.shape).map(
    ([name, schema]) => `| \`${name}\` | ${defaultOf(schema)} | ${purposeOf(schema.description ?? '')} |`,
  )
  const page = [
    '# Settings',
    '',
    'Every setting is an environment variable; an empty one counts as not set. A wrong one stops the start with all problems listed at once and exit code 2, and no value is repeated. This page is written from the code by `npm run docs`; a test compares it. `.env.example` holds the same variables.',
    '',
    '| variable | default | what it is for |',
    '| --- | --- | --- |',
    ...rows,
    '',
    'The secrets that a gateway file names stand in variables of their own: `api-key` is `GATEWAY_SECRET_API_KEY` ([gateways.md](gateways.md)).',
    '',
  ].join('\n')
  return format(page, { ...(await resolveConfig('docs/settings.md')), parser: 'markdown' })
}

/** What the schema makes of nothing. */
function defaultOf(schema: (typeof ENVIRONMENT.shape)[keyof typeof ENVIRONMENT.shape]): string {
  const value = schema.parse(undefined)
  return value === undefined ? 'none' : `\`${Array.isArray(value) ? value.join(',') : String(value)}\``
}

/** The default has a column of its own. */
function purposeOf(description: string): string {
  return description.replace(/ Default [^ ]+$/, '').replaceAll('|', '\\|')
}
