import { createServer, type AddressInfo, type Server, type Socket } from 'node:net'
import { createServer as createTlsServer, type TlsOptions } from 'node:tls'
import type { CommandName } from '../../src/gateway/smpp/commands.ts'
import { cutFrames } from '../../src/gateway/smpp/pdu-frames.ts'
import {
  decodePdu,
  encodePdu,
  makePdu,
  type Pdu,
  type PduOf,
  type PduParts,
} from '../../src/gateway/smpp/pdu.ts'

/** What the SMSC does with a submit: the answers it gives (none is silence), or it hangs up. */
export type SubmitReply = readonly PduParts<'submit_sm_resp'>[] | 'hang-up'

/** A bind or other command seen, with the connection it came on. */
export interface Seen {
  readonly connection: number
  readonly pdu: Pdu
  /** The PDU as it came. */
  readonly octets: Buffer
}

/** A message centre on loopback that misbehaves on command. */
export interface TestSmsc {
  readonly port: number
  /** Every PDU that came, oldest first. */
  readonly seen: readonly Seen[]
  /** Changes how binds are answered, by who binds; 0 is yes, `null` is silence. */
  readonly answerBinds: (statusFor: (systemId: string) => number | null) => void
  /** Changes how submits are answered. */
  readonly answerSubmits: (reply: (submit: PduOf<'submit_sm'>) => SubmitReply | Promise<SubmitReply>) => void
  /** Stops or starts answering enquire_link. */
  readonly answerEnquiries: (isAnswered: boolean) => void
  /** Sends a message on the newest receiving bind and gives the answer's status. */
  readonly deliver: (parts: PduParts<'deliver_sm'>) => Promise<number>
  /** Sends a request on the newest receiving bind and gives the whole answer. */
  readonly ask: (command: CommandName, parts?: object) => Promise<Pdu>
  /** Sends octets as they are on the newest bind. */
  readonly write: (octets: Buffer) => void
  /** Cuts every connection. */
  readonly hangUp: () => void
  /** Resolves when something seen fits. */
  readonly until: (fits: (seen: readonly Seen[]) => boolean) => Promise<void>
  readonly stop: () => Promise<void>
}

interface Connection {
  readonly id: number
  readonly socket: Socket
  readonly waiting: Map<number, (answer: Pdu) => void>
  role: string
}

class Smsc {
  readonly seen: Seen[] = []
  readonly connections: Connection[] = []
  bindStatus: (systemId: string) => number | null = () => 0
  answersEnquiries = true
  reply: (submit: PduOf<'submit_sm'>) => SubmitReply | Promise<SubmitReply> = () => [
    { messageId: String((this.made += 1)) },
  ]
  made = 0
  sequence = 0
  watchers = new Set<() => void>()

  accept(socket: Socket): void {
    const connection: Connection = { id: this.connections.length + 1, socket, waiting: new Map(), role: '' }
    this.connections.push(connection)
    let rest: Buffer = Buffer.alloc(0)
    // Every question that waits for its answer also waits for the end.
    socket
      .setNoDelay(true)
      .setMaxListeners(0)
      .on('error', () => undefined)
    socket.on('close', () => (connection.role = ''))
    socket.on('data', (chunk: Buffer) => {
      const cut = cutFrames(rest, chunk)
      rest = cut.rest
      for (const frame of cut.frames) {
        const decoded = decodePdu(frame)
        if (decoded.kind === 'pdu') this.take(connection, decoded.pdu, frame)
      }
    })
  }

  take(connection: Connection, pdu: Pdu, octets: Buffer): void {
    this.seen.push({ connection: connection.id, pdu, octets })
    for (const watcher of this.watchers) watcher()
    const { command, sequence } = pdu
    if (command === 'submit_sm') void this.takeSubmit(connection, pdu)
    else if (command === 'enquire_link' && this.answersEnquiries)
      this.send(connection, makePdu('enquire_link_resp', { sequence }))
    else if (command === 'unbind') this.send(connection, makePdu('unbind_resp', { sequence }))
    else if (
      command === 'bind_transceiver' ||
      command === 'bind_receiver' ||
      command === 'bind_transmitter'
    ) {
      const status = this.bindStatus(pdu.systemId)
      if (status === null) return
      if (status === 0) connection.role = command
      this.send(connection, makePdu(`${command}_resp`, { sequence, status, systemId: 'TESTSMSC' }))
    } else connection.waiting.get(sequence)?.(pdu)
  }

  async takeSubmit(connection: Connection, submit: PduOf<'submit_sm'>): Promise<void> {
    const reply = await this.reply(submit)
    if (reply === 'hang-up') connection.socket.destroy()
    else
      for (const parts of reply)
        this.send(connection, makePdu('submit_sm_resp', { sequence: submit.sequence, ...parts }))
  }

  send({ socket }: Connection, pdu: Pdu): void {
    socket.write(encodePdu(pdu))
  }

  newest(role: RegExp): Connection {
    const connection = this.connections.findLast((known) => role.test(known.role))
    if (connection === undefined) throw new Error('nobody is bound')
    return connection
  }

  ask(command: CommandName, parts: object): Promise<Pdu> {
    const connection = this.newest(/transceiver|receiver/)
    this.sequence += 1
    const sequence = this.sequence
    return new Promise((resolve, reject) => {
      connection.waiting.set(sequence, resolve)
      connection.socket.once('close', () => {
        reject(new Error('the connection was cut'))
      })
      this.send(connection, makePdu(command, { ...parts, sequence }))
    })
  }

  until(fits: (seen: readonly Seen[]) => boolean): Promise<void> {
    return new Promise((resolve) => {
      const watcher = (): void => {
        if (!fits(this.seen)) return
        this.watchers.delete(watcher)
        resolve()
      }
      this.watchers.add(watcher)
      watcher()
    })
  }
}

/** Starts a message centre that takes every bind and every submit until told otherwise. */
export async function startTestSmsc({
  port = 0,
  tls,
}: { port?: number; tls?: TlsOptions } = {}): Promise<TestSmsc> {
  const smsc = new Smsc()
  const accept = (socket: Socket): void => {
    smsc.accept(socket)
  }
  const server: Server = tls === undefined ? createServer(accept) : createTlsServer(tls, accept)
  await new Promise<void>((resolve) => server.listen(port, '127.0.0.1', resolve))
  // A server that listens on a port has an address with a port.
  const address = server.address() as AddressInfo
  const hangUp = (): void => {
    smsc.connections.forEach(({ socket }) => socket.destroy())
  }
  return {
    port: address.port,
    seen: smsc.seen,
    answerBinds: (statusFor) => void (smsc.bindStatus = statusFor),
    answerSubmits: (reply) => void (smsc.reply = reply),
    answerEnquiries: (isAnswered) => void (smsc.answersEnquiries = isAnswered),
    deliver: async (parts) => (await smsc.ask('deliver_sm', parts)).status,
    ask: (command, parts = {}) => smsc.ask(command, parts),
    write: (octets) => void smsc.newest(/./).socket.write(octets),
    hangUp,
    until: (fits) => smsc.until(fits),
    async stop() {
      hangUp()
      await new Promise<void>((resolve) =>
        server.close(() => {
          resolve()
        }),
      )
    },
  }
}
