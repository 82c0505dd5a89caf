import { z } from 'zod'
import type { Coding } from './resource.ts'
import { SYSTEM } from './systems.ts'

/** How the vaccines here are called elsewhere: CVX, ATC, and our own codes, which always come first. */

const entry = z.strictObject({
  code: z.string(),
  name: z.string(),
  cvx: z.string().nullable(),
  atc: z.string().nullable(),
  /** Codes elsewhere that mean this vaccine and no other: `cvx 10`. */
  reads: z.array(z.string().regex(/^(cvx \d{2,3}|atc [A-Z0-9]{7})$/)),
})

/** The data file; two vaccines may write the same code, only one may read it. */
export const codeMapSchema = z
  .strictObject({
    notice: z.string(),
    sources: z.array(z.strictObject({ title: z.string(), issuer: z.string(), edition: z.string() })).min(1),
    vaccines: z.array(entry),
  })
  .refine(
    ({ vaccines }) => {
      const read = vaccines.flatMap(({ reads }) => reads)
      return new Set(read).size === read.length
    },
    { error: 'two vaccines read the same code' },
  )
  .transform(({ vaccines }): CodeMap => ({
    byVaccine: new Map(vaccines.map((vaccine) => [vaccine.code, vaccine])),
    byCode: new Map(vaccines.flatMap(({ code, reads }) => reads.map((read) => [read, code]))),
  }))

export interface CodeMap {
  readonly byVaccine: ReadonlyMap<string, z.output<typeof entry>>
  /** `cvx 10` → our code. */
  readonly byCode: ReadonlyMap<string, string>
}

/** Every code of a vaccine, our own first. */
export function codingsOf(map: CodeMap, vaccine: string): readonly Coding[] {
  const known = map.byVaccine.get(vaccine)
  const own = { system: SYSTEM.vaccine, code: vaccine }
  if (known === undefined) return [own]
  return [
    { ...own, display: known.name },
    ...(known.cvx === null ? [] : [{ system: SYSTEM.cvx, code: known.cvx }]),
    ...(known.atc === null ? [] : [{ system: SYSTEM.atc, code: known.atc }]),
  ]
}

/** The vaccine that codes from elsewhere mean, or `undefined`: our own code counts before CVX, CVX before ATC. */
export function vaccineOf(map: CodeMap, codings: readonly Coding[]): string | undefined {
  const codeIn = (system: string) => codings.find((coding) => coding.system === system)?.code
  const [own, cvx, atc] = [codeIn(SYSTEM.vaccine), codeIn(SYSTEM.cvx), codeIn(SYSTEM.atc)]
  if (own !== undefined && map.byVaccine.has(own)) return own
  return map.byCode.get(`cvx ${cvx ?? ''}`) ?? map.byCode.get(`atc ${atc ?? ''}`)
}
