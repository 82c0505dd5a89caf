import { connect as connectTcp, type Socket } from 'node:net'
import { connect as connectTls, createSecureContext } from 'node:tls'
import { secretNamed, type Secrets } from '../secrets.ts'
import { makePdu, type PduOf } from './pdu.ts'
import type { SessionOptions } from './session.ts'
import type { SmppConfig } from './smpp-config.ts'

/** What a bind lets through. */
export type BindRole = 'transceiver' | 'transmitter' | 'receiver'

/** interface_version of SMPP 3.4 (§5.2.4). */
const VERSION = 0x34

/** The bind request of an account in a role; the password is a secret. */
export function bindPdu(
  config: SmppConfig,
  role: BindRole,
  secrets: Secrets,
): PduOf<'bind_transceiver' | 'bind_transmitter' | 'bind_receiver'> {
  const { systemId, systemType, addressRange, passwordSecret } = config
  const password = passwordSecret === null ? '' : secretNamed(secrets, passwordSecret)
  return makePdu(`bind_${role}`, { systemId, password, systemType, addressRange, interfaceVersion: VERSION })
}

/** How an account's connection is made: over TCP, or TLS with the server's name checked. */
export function socketOf(
  { host, port, tls }: SmppConfig,
  secrets: Secrets,
): Pick<SessionOptions, 'connect' | 'readyEvent'> {
  if (tls === null) return { connect: (): Socket => connectTcp({ host, port }), readyEvent: 'connect' }
  const { serverName: servername = host, caSecret } = tls
  const secureContext = createSecureContext(
    caSecret === undefined ? {} : { ca: secretNamed(secrets, caSecret) },
  )
  return {
    connect: (): Socket => connectTls({ host, port, servername, secureContext }),
    readyEvent: 'secureConnect',
  }
}
