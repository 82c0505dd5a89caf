/** What a dose is measured against: live births for doses due at birth, surviving infants for the others (WHO 2018 facility data guide). */
export type TargetBase = 'live-births' | 'surviving-infants'

/** What the authority says of a village's yearly target; never guessed from the register. */
export type VillageTarget =
  | {
      readonly kind: 'rates'
      readonly population: number
      readonly birthsPer1000: number
      /** `null`: not stated, so surviving infants are unknown too. */
      readonly infantDeathsPer1000Births: number | null
    }
  /** Counts typed in by the authority; `null` where it gave none. */
  | { readonly kind: 'entered'; readonly liveBirths: number | null; readonly survivingInfants: number | null }
  | { readonly kind: 'none' }

/** Births expected in a year: population × births per 1000 ÷ 1000. */
function liveBirths(target: VillageTarget): number | null {
  if (target.kind === 'none') return null
  if (target.kind === 'entered') return target.liveBirths
  return (target.population * target.birthsPer1000) / 1000
}

/** Infants who reach their first birthday: live births × (1 − infant deaths per 1000 births ÷ 1000). */
function survivingInfants(target: VillageTarget): number | null {
  if (target.kind === 'none') return null
  if (target.kind === 'entered') return target.survivingInfants
  const births = liveBirths(target)
  if (births === null || target.infantDeathsPer1000Births === null) return null
  return (births * (1000 - target.infantDeathsPer1000Births)) / 1000
}

/** The unrounded target of a year, or `null` when the authority gave none. */
export function annualTarget(target: VillageTarget, base: TargetBase): number | null {
  return base === 'live-births' ? liveBirths(target) : survivingInfants(target)
}
