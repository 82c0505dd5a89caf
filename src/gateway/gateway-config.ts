import { z } from 'zod'
import { HttpGatewayConfig, secretsOfHttp } from './http/http-config.ts'
import { secretsOfSmpp, SmppConfig } from './smpp/smpp-config.ts'

const Name = z.string().regex(/^[a-z0-9-]+$/)

/** Phones in this process; for trying things out. */
const HandsetConfig = z.strictObject({
  kind: z.literal('handset'),
  name: Name,
  /** The number people text to. */
  shortCode: z.string().min(1),
})

const SingleGatewayConfig = z.discriminatedUnion('kind', [HandsetConfig, HttpGatewayConfig, SmppConfig])

/** Several gateways, chosen by the prefix of the number; "" is every number no other prefix fits. */
const RoutesConfig = z.strictObject({
  kind: z.literal('routes'),
  name: Name,
  routes: z
    .array(
      z.strictObject({
        /** Six digits at most: what of a number is stored in the open (docs/privacy.md). */
        prefixes: z.array(z.string().regex(/^(\+\d{1,6})?$/)).min(1),
        gateway: SingleGatewayConfig,
      }),
    )
    .min(1),
})

/** What a gateway description file holds. */
export const GatewayConfig = z.discriminatedUnion('kind', [
  HandsetConfig,
  HttpGatewayConfig,
  SmppConfig,
  RoutesConfig,
])

/** A checked description, every default filled in. */
export type GatewayConfig = z.infer<typeof GatewayConfig>

/** The names of the secrets a description needs, sorted, each once. */
export function secretsNeededBy(config: GatewayConfig): string[] {
  const names = (config.kind === 'routes' ? config.routes.map((route) => route.gateway) : [config]).flatMap(
    (gateway) => {
      if (gateway.kind === 'http') return secretsOfHttp(gateway)
      return gateway.kind === 'smpp' ? secretsOfSmpp(gateway) : []
    },
  )
  return [...new Set(names)].sort()
}
