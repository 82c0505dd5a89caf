import { type DestinationStream, pino } from 'pino'
import type { Config } from './config.ts'

type Write = (message: string, facts?: Readonly<Record<string, unknown>>) => void

/** Structured log lines, JSON, one a line. */
export interface Logger {
  readonly debug: Write
  readonly info: Write
  readonly warn: Write
  readonly error: Write
}

/**
 * Facts that may not be written even when somebody passes them by mistake:
 * what people are called, where they are reached, what they wrote, and secrets.
 */
const PRIVATE_KEYS = [
  ...['name', 'phone', 'from', 'to', 'body', 'text', 'words'],
  ...['password', 'secret', 'token', 'authorization', 'cookie', 'url'],
]

/** Seven digits or more, spaced or not, may be a phone or a card number; an identifier of ours (a UUID) is none. */
const NUMBER_OR_ID = /([\da-f]{8}-(?:[\da-f]{4}-){3}[\da-f]{12})|\d(?: ?\d){6,}/gi

/** What an error quotes may be a value: a name in a bad JSON text, an argument of a statement. Column names stay. */
const QUOTED = /"(?![a-z]+(?:_[a-z]+)+")(?:[^"\\]|\\.)*"/g

const STANDARD_ERROR = 2

/** Opens the log; it goes to standard error, as standard output belongs to what a command prints. */
export function openLogger(
  level: Config['logLevel'],
  destination: DestinationStream = pino.destination({ dest: STANDARD_ERROR, sync: true }),
): Logger {
  const log = pino(
    {
      level,
      base: null,
      timestamp: pino.stdTimeFunctions.isoTime,
      formatters: { level: (label) => ({ level: label }), log: withoutNumbers },
      redact: { paths: PRIVATE_KEYS.flatMap((key) => [key, `*.${key}`]), censor: '[private]' },
      serializers: { error: describeError },
    },
    destination,
  )
  const at =
    (write: pino.LogFn): Write =>
    (message, facts = {}) => {
      write.call(log, facts, message)
    }
  return { debug: at(log.debug), info: at(log.info), warn: at(log.warn), error: at(log.error) }
}

/**
 * An error without the fields that drivers hang on it: those hold the values of the row or request
 * that failed.
 */
function describeError(error: unknown): unknown {
  if (!(error instanceof Error)) return withoutValues(String(error))
  return {
    kind: error.name,
    message: withoutValues(error.message),
    stack: withoutValues(error.stack ?? ''),
    ...('code' in error ? { code: error.code } : {}),
    ...(error.cause === undefined ? {} : { cause: describeError(error.cause) }),
    ...(error instanceof AggregateError ? { errors: error.errors.map(describeError) } : {}),
  }
}

function withoutNumbers(facts: Record<string, unknown>): Record<string, unknown> {
  return Object.fromEntries(
    Object.entries(facts).map(([key, fact]) => [key, typeof fact === 'string' ? masked(fact) : fact]),
  )
}

function withoutValues(text: string): string {
  return masked(text.replace(QUOTED, '[value]'))
}

function masked(text: string): string {
  return text.replace(NUMBER_OR_ID, (_found, id: string | undefined) => id ?? '[number]')
}
