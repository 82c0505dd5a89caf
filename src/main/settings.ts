import { readFileSync } from 'node:fs'
import { z } from 'zod'
import { GatewayConfig, secretsNeededBy } from '../gateway/gateway-config.ts'
import type { Secrets } from '../gateway/secrets.ts'
import { ConfigError, readConfig } from '../platform/config.ts'
import type { Config } from '../platform/config.ts'
import type { Certificate } from './listen.ts'
import { readOwnPolicies } from './own-policies.ts'

/** A described way to phones with the secrets it needs. */
export interface DescribedGateway {
  readonly config: GatewayConfig
  readonly secrets: Secrets
}

/** All that `serve` is told from outside: the environment and the files it names, proven before anything starts. */
export interface Settings {
  readonly config: Config
  /** Null: phones inside this process, nothing leaves it. */
  readonly gateway: DescribedGateway | null
  /** Null: plain HTTP. */
  readonly tls: Certificate | null
}

type Environment = Readonly<Record<string, string | undefined>>

/** @throws {ConfigError} naming everything that is wrong at once, never a secret */
export function readSettings(environment: Environment): Settings {
  const problems: string[] = []
  const attempt = <Value>(read: () => Value): Value | null => {
    try {
      return read()
    } catch (error) {
      if (!(error instanceof ConfigError)) throw error
      problems.push(...error.problems)
      return null
    }
  }
  const config = attempt(() => readConfig(environment))
  const { GATEWAY_FILE, HTTPS_CERTIFICATE_FILE: certificate, HTTPS_KEY_FILE: key } = environment
  const { REMINDER_POLICIES_FOLDER: policies } = environment
  const gateway = isSet(GATEWAY_FILE) ? attempt(() => describedGateway(GATEWAY_FILE, environment)) : null
  const tls = isSet(certificate) && isSet(key) ? attempt(() => readCertificate(certificate, key)) : null
  attempt(() => readOwnPolicies(isSet(policies) ? policies : null))
  if (problems.length > 0 || config === null) throw new ConfigError(problems)
  return { config, gateway, tls }
}

function isSet(value: string | undefined): value is string {
  return value !== undefined && value !== ''
}

function describedGateway(file: string, environment: Environment): DescribedGateway {
  const parsed = GatewayConfig.safeParse(readJson(file))
  if (!parsed.success) {
    throw new ConfigError(
      parsed.error.issues.map(
        ({ path, message }) => `GATEWAY_FILE: ${[file, ...path.map(String)].join(' > ')}: ${message}`,
      ),
    )
  }
  const needed = secretsNeededBy(parsed.data)
  const lacking = needed.filter((name) => !isSet(environment[variableOf(name)]))
  if (lacking.length > 0) {
    throw new ConfigError(
      lacking.map((name) => `${variableOf(name)}: the gateway needs the secret "${name}"; set it`),
    )
  }
  const secrets = Object.fromEntries(needed.map((name) => [name, environment[variableOf(name)] ?? '']))
  return { config: parsed.data, secrets }
}

/** The secret `api-key` stands in the environment as GATEWAY_SECRET_API_KEY. */
function variableOf(secret: string): string {
  return `GATEWAY_SECRET_${secret.replaceAll('-', '_').toUpperCase()}`
}

function readJson(file: string): unknown {
  const text = readText('GATEWAY_FILE', file)
  try {
    return z.json().parse(JSON.parse(text))
  } catch {
    throw new ConfigError([`GATEWAY_FILE: ${file} is not JSON`])
  }
}

function readCertificate(certificate: string, key: string): Certificate {
  return {
    certificate: readText('HTTPS_CERTIFICATE_FILE', certificate),
    key: readText('HTTPS_KEY_FILE', key),
  }
}

const systemError = z.object({ code: z.string().optional() })

function readText(variable: string, file: string): string {
  try {
    return readFileSync(file, 'utf8')
  } catch (error) {
    const { code = 'unreadable' } = systemError.parse(error)
    throw new ConfigError([`${variable}: ${file} cannot be read (${code})`])
  }
}
