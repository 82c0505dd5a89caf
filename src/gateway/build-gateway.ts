import type { CallbackReceiver, Clock, Gateway, Log, NewId } from '../app/ports.ts'
import type { GatewayConfig } from './gateway-config.ts'
import { handsetGateway, type HandsetGateway } from './handset/handset-gateway.ts'
import { httpGateway } from './http/http-gateway.ts'
import { routedGateway } from './routing.ts'
import type { Secrets } from './secrets.ts'
import { smppGateway } from './smpp/smpp-gateway.ts'

/** What gateways of every kind are built from. */
export interface GatewayParts {
  readonly secrets: Secrets
  readonly clock: Clock
  readonly newId: NewId
  readonly log: Log
  /** 0 to 1. */
  readonly random: () => number
}

/** A gateway, and what comes with its kind. */
export interface BuiltGateway {
  readonly gateway: Gateway
  /** Gateways whose provider calls us, by name. */
  readonly receivers: ReadonlyMap<string, CallbackReceiver>
  /** Set where the phones are in this process and can be tried out on a page. */
  readonly handset: HandsetGateway | null
}

/** Builds the gateway of a description; a missing secret throws. */
export function buildGateway(config: GatewayConfig, parts: GatewayParts): BuiltGateway {
  switch (config.kind) {
    case 'handset': {
      const handset = handsetGateway({ ...config, ...parts })
      return { gateway: handset, receivers: new Map(), handset }
    }
    case 'http': {
      const gateway = httpGateway({ config, ...parts })
      return { gateway, receivers: new Map([[gateway.name, gateway]]), handset: null }
    }
    case 'smpp':
      return { gateway: smppGateway({ config, ...parts }), receivers: new Map(), handset: null }
    case 'routes': {
      const members = config.routes.map(({ prefixes, gateway }) => ({
        prefixes,
        ...buildGateway(gateway, parts),
      }))
      return {
        gateway: routedGateway(config.name, members),
        receivers: new Map(members.flatMap((member) => [...member.receivers])),
        handset: members.find((member) => member.handset !== null)?.handset ?? null,
      }
    }
  }
}
