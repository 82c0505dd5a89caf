import { readFileSync } from 'node:fs'
import { z } from 'zod'
import type { Clock, Log } from '../app/ports.ts'
import { Refusal } from '../core/refusals.ts'
import { handsetGateway } from '../gateway/handset/handset-gateway.ts'
import type { HandsetGateway } from '../gateway/handset/handset-gateway.ts'
import { buildGateway } from '../gateway/build-gateway.ts'
import type { BuiltGateway } from '../gateway/build-gateway.ts'
import { GatewayConfig, secretsNeededBy } from '../gateway/gateway-config.ts'
import { newIds } from '../platform/ids.ts'

export interface GatewayOptions {
  /** A description as in docs/gateways.md; null: phones inside this process, nothing leaves it. */
  readonly file: string | null
  readonly environment: Readonly<Record<string, string | undefined>>
  readonly clock: Clock
  readonly log: Log
}

/** Builds the gateway that a file describes. @throws {Refusal} input-invalid */
export function openGateway({ file, environment, clock, log }: GatewayOptions): BuiltGateway {
  if (file === null) {
    const handset = openHandset(clock, log)
    return { gateway: handset, receivers: new Map(), handset }
  }
  const config = readConfigFile(file)
  const secrets = Object.fromEntries(
    secretsNeededBy(config).map((name) => [name, secretFrom(environment, name)]),
  )
  return buildGateway(config, { secrets, clock, newId: newIds(clock.now), log, random: Math.random })
}

/** Phones inside this process. */
export function openHandset(clock: Clock, log: Log): HandsetGateway {
  return handsetGateway({ name: 'handset', shortCode: '+447700900000', clock, newId: newIds(clock.now), log })
}

function readConfigFile(file: string): GatewayConfig {
  const parsed = GatewayConfig.safeParse(JSON.parse(readFileSync(file, 'utf8')))
  if (parsed.success) return parsed.data
  throw new Refusal('input-invalid', `${file} does not describe a gateway.\n${z.prettifyError(parsed.error)}`)
}

/** The secret `api-key` stands in the environment as GATEWAY_SECRET_API_KEY. */
function secretFrom(environment: GatewayOptions['environment'], name: string): string {
  const variable = `GATEWAY_SECRET_${name.replaceAll('-', '_').toUpperCase()}`
  const value = environment[variable]
  if (value !== undefined && value !== '') return value
  throw new Refusal('input-invalid', `The gateway needs the secret "${name}"; set ${variable}.`)
}
