import type { Clock, Log } from '../app/ports.ts'
import { handsetGateway } from '../gateway/handset/handset-gateway.ts'
import type { HandsetGateway } from '../gateway/handset/handset-gateway.ts'
import { buildGateway } from '../gateway/build-gateway.ts'
import type { BuiltGateway } from '../gateway/build-gateway.ts'
import { newIds } from '../platform/ids.ts'
import type { DescribedGateway } from './settings.ts'

export interface GatewayOptions {
  /** Null: phones inside this process, nothing leaves it. */
  readonly described: DescribedGateway | null
  readonly clock: Clock
  readonly log: Log
}

/** Builds the gateway that was described. */
export function openGateway({ described, clock, log }: GatewayOptions): BuiltGateway {
  if (described === null) {
    const handset = openHandset(clock, log)
    return { gateway: handset, receivers: new Map(), handset }
  }
  const { config, secrets } = described
  return buildGateway(config, { secrets, clock, newId: newIds(clock.now), log, random: Math.random })
}

/** Phones inside this process. */
export function openHandset(clock: Clock, log: Log): HandsetGateway {
  return handsetGateway({ name: 'handset', shortCode: '+447700900000', clock, newId: newIds(clock.now), log })
}
