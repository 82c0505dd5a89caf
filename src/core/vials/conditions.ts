import type { Product } from './product.ts'

/** 1 and 2: the inner square is lighter than the ring; 3: it matches; 4: it is darker. */
export type MonitorStage = 1 | 2 | 3 | 4

/** What is asked before a vial is opened and again before it is used on another day. */
export interface VialConditions {
  /** Stored and carried at 2 to 8 °C all the time. */
  readonly isKeptCold: boolean
  readonly isNeverFrozen: boolean
  /** The stopper was never under water (melted ice packs). */
  readonly isStopperDry: boolean
  /** Clean, dry, label readable, contents look right, every dose drawn aseptically. */
  readonly isClean: boolean
  /** `null`: there is none to read. */
  readonly monitorStage: MonitorStage | null
}

/** As answered by whoever says that all is in order. */
export const IN_ORDER: VialConditions = {
  isKeptCold: true,
  isNeverFrozen: true,
  isStopperDry: true,
  isClean: true,
  monitorStage: 1,
}

export type ConditionFault =
  'frozen' | 'stopper-wet' | 'not-clean' | 'monitor-past' | 'monitor-unread' | 'not-kept-cold'

/** A cap, and the monitor on it, is gone at reuse; after mixing a monitor says nothing. */
export type VialMoment = 'opening' | 'reuse'

function monitorFault(product: Product, stage: MonitorStage | null, moment: VialMoment) {
  const isThere = product.monitorOn === 'label' || (product.monitorOn === 'cap' && moment === 'opening')
  const tells = product.form === 'liquid' || moment === 'opening'
  if (!isThere || !tells) return undefined
  if (stage === null) return 'monitor-unread'
  // Discard point: the square matches the ring (WHO Immunization in practice 2015, module 2; from memory).
  return stage >= 3 ? 'monitor-past' : undefined
}

/**
 * The gravest fault of a vial, or `undefined` when all conditions hold (WHO/V&B/00.09, WHO/IVB/14.07).
 * Any fault means: stop, do not use, ask the supervisor.
 */
export function conditionFault(
  product: Product,
  conditions: VialConditions,
  moment: VialMoment,
): ConditionFault | undefined {
  if (product.freezeSensitive && !conditions.isNeverFrozen) return 'frozen'
  if (!conditions.isStopperDry) return 'stopper-wet'
  if (!conditions.isClean) return 'not-clean'
  const monitor = monitorFault(product, conditions.monitorStage, moment)
  return monitor ?? (conditions.isKeptCold ? undefined : 'not-kept-cold')
}
