/** Wastage formulas (WHO, Analysis and use of health facility data, 2018). Percentages are never rounded here. */

/** A wastage rate; a negative one is an error in the figures, shown as such and never clamped. */
export interface Wastage {
  /** `null` where nothing was used. */
  readonly percent: number | null
  readonly isDataError: boolean
}

function wastageOf(lost: number, of: number): Wastage {
  if (of === 0) return { percent: null, isDataError: lost !== 0 }
  const percent = (100 * lost) / of
  return { percent, isDataError: percent < 0 || of < 0 }
}

/** Doses that left the stock: opening balance + received − closing balance. */
export function dosesUsed(stock: {
  readonly opening: number
  readonly received: number
  readonly closing: number
}): number {
  return stock.opening + stock.received - stock.closing
}

/** Open-vial wastage: (doses used − doses given) ÷ doses used. Doses and units serve alike. */
export function openVialWastage(usedDoses: number, givenDoses: number): Wastage {
  return wastageOf(usedDoses - givenDoses, usedDoses)
}

/** Closed-vial wastage: doses lost to expiry, heat, frost or breakage ÷ doses in stock (WHO indicator I40). */
export function closedVialWastage(lostDoses: number, stockedDoses: number): Wastage {
  return wastageOf(lostDoses, stockedDoses)
}

/** Wastage over `levels` of storage and the last opening: 1 − (1 − closed)^levels × (1 − open), in percent. */
export function totalWastagePercent(closedPercent: number, levels: number, openPercent: number): number {
  return 100 * (1 - (1 - closedPercent / 100) ** levels * (1 - openPercent / 100))
}

/** What to multiply doses by: 100 ÷ (100 − wastage). */
export function wastageFactor(percent: number): number {
  return 100 / (100 - percent)
}
