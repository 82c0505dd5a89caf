import { z } from 'zod'
import { checkData } from '../checked-data.ts'
import type { Checked } from '../checked-data.ts'

const variableSchema = z.strictObject({
  code: z.string().regex(/^[a-z-]+$/),
  label: z.string().min(1),
  isCritical: z.boolean(),
})

const variablesSchema = z
  .strictObject({ source: z.string(), variables: z.array(variableSchema) })
  .transform(({ variables }) => variables)

/** One of the 25 variables that WHO asks of every report (GACVS, December 2015); 13 are critical. */
export type CoreVariable = z.infer<typeof variableSchema>

/** Reads src/data/reactions/core-variables.json. */
export function parseCoreVariables(data: unknown): Checked<readonly CoreVariable[]> {
  return checkData(variablesSchema, data)
}

/** One report as a line: a cell for each variable, in their order, `null` where a fact is missing. */
export interface ReportLine {
  readonly cells: readonly (string | null)[]
  /** Codes of the missing critical variables: for the officer to complete first. */
  readonly missingCritical: readonly string[]
  /** Codes of all missing variables. */
  readonly missing: readonly string[]
}

/** Lines a report up with the core variables. `facts` is keyed by variable code; empty text is missing. */
export function reportLine(
  facts: Readonly<Record<string, string | undefined>>,
  variables: readonly CoreVariable[],
): ReportLine {
  const cells = variables.map(({ code }) => {
    const text = facts[code]?.trim() ?? ''
    return text === '' ? null : text
  })
  const missing = variables.filter((_, index) => cells[index] === null)
  return {
    cells,
    missing: missing.map(({ code }) => code),
    missingCritical: missing.filter(({ isCritical }) => isCritical).map(({ code }) => code),
  }
}
