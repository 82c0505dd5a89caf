import { createInterface } from 'node:readline'
import { once } from 'node:events'
import type { z } from 'zod'
import { checkData } from '../core/checked-data.ts'

/** An expected "no" to one line; the rest of the input goes on. */
export class LineProblem extends Error {
  override readonly name = 'LineProblem'
  readonly code: string

  constructor(code: string, message: string) {
    super(message)
    this.code = code
  }
}

/** A line in the shape a command asks for. @throws {LineProblem} input-invalid, with everything that is wrong */
export function provenLine<T>(shape: z.ZodType<T>, value: unknown): T {
  const checked = checkData(shape, value)
  if (checked.kind === 'valid') return checked.value
  throw new LineProblem('input-invalid', checked.problems.join('; '))
}

function idOf(value: unknown): unknown {
  return typeof value === 'object' && value !== null && 'id' in value ? value.id : null
}

function answerLine(line: string, answer: (value: unknown) => unknown): unknown {
  let value: unknown
  try {
    value = JSON.parse(line)
  } catch {
    return {
      id: null,
      error: { code: 'line-malformed', message: 'This line is not JSON; send one JSON object a line.' },
    }
  }
  try {
    return answer(value)
  } catch (error) {
    if (error instanceof LineProblem)
      return { id: idOf(value), error: { code: error.code, message: error.message } }
    throw error
  }
}

/**
 * Reads JSON lines and writes one JSON line for each, in the same order, as they come.
 * A line that cannot be answered gives `{"id","error":{"code","message"}}`.
 */
export async function answerLines(
  input: NodeJS.ReadableStream,
  output: NodeJS.WritableStream,
  answer: (value: unknown) => unknown,
): Promise<void> {
  for await (const line of createInterface({ input, crlfDelay: Infinity })) {
    if (line.trim() === '') continue
    if (!output.write(`${JSON.stringify(answerLine(line, answer))}\n`)) await once(output, 'drain')
  }
}
