/**
 * One SMPP connection, from connecting to its end. A session is never used twice: whoever wants to go on after
 * an end opens a new one.
 *
 *   connecting  TCP and TLS are being set up. Connected → binding; fault or time over → closed.
 *   binding     The bind was sent. Answered with 0 → bound; with anything else, or time over → closed.
 *   bound       Requests go both ways. `unbind()` → unbinding; the SMSC's unbind, octets that are no PDU,
 *               a lost socket or a silent peer → closed.
 *   unbinding   No new request goes out and what comes in is put off; once answers under way have come and gone,
 *               unbind is sent. Answered or time over → closed.
 *   closed      The end. Every request that waited was settled as unanswered.
 */
import type { Socket } from 'node:net'
import { underWay } from '../under-way.ts'
import type { Arrival } from './arrival.ts'
import { ANSWER_BIT, COMMANDS, UNANSWERED_IDS, type CommandName } from './commands.ts'
import { PduFault } from './pdu-fields.ts'
import { cutFrames } from './pdu-frames.ts'
import { decodePdu, encodePdu, makePdu, type Decoded, type Pdu, type PduOf } from './pdu.ts'
import { STATUS } from './status.ts'

/** What became of a request. */
export type Outcome =
  | { readonly kind: 'answered'; readonly answer: Pdu }
  /** It never left. */
  | { readonly kind: 'not-sent'; readonly reason: string }
  /** It never left and never can: a value does not fit its field. */
  | { readonly kind: 'unwritable'; readonly reason: string }
  /** It left, and no answer came. */
  | { readonly kind: 'unanswered'; readonly reason: string }

/** What became of a bind. */
export type BindOutcome =
  | { readonly kind: 'bound' }
  | { readonly kind: 'refused'; readonly status: number }
  | { readonly kind: 'failed'; readonly reason: string }

/** What a session needs. */
export interface SessionOptions {
  /** Begins to connect. */
  readonly connect: () => Socket
  /** The event that says the socket is ready for use. */
  readonly readyEvent: 'connect' | 'secureConnect'
  readonly bind: PduOf<'bind_transceiver'> | PduOf<'bind_transmitter'> | PduOf<'bind_receiver'>
  readonly connectMs: number
  readonly answerMs: number
  readonly enquireMs: number
  readonly silentEnquiries: number
  /** Deals with an arrival; a rejection puts it off, and the SMSC sends it again. */
  readonly onArrival: (arrival: Arrival) => Promise<void>
}

/** How long good order may take at the end. */
const FAREWELL_MS = 2_000

interface Pending {
  readonly settle: (outcome: Outcome) => void
  readonly timer: NodeJS.Timeout
}

/** One SMPP connection; see the states above. */
export class SmppSession {
  /** Resolves, at the end, with why it ended. */
  readonly closed: Promise<string>
  readonly #options: SessionOptions
  readonly #socket: Socket
  readonly #pending = new Map<number, Pending>()
  readonly #arrivals = underWay()
  readonly #requests = underWay()
  #state: 'connecting' | 'binding' | 'bound' | 'unbinding' | 'closed' = 'connecting'
  #rest: Buffer = Buffer.alloc(0)
  #sequence = 0
  #silences = 0
  #idle: NodeJS.Timeout | undefined
  #resolveClosed: (reason: string) => void = () => undefined

  constructor(options: SessionOptions) {
    this.#options = options
    this.closed = new Promise((resolve) => (this.#resolveClosed = resolve))
    this.#socket = options.connect().setNoDelay(true)
    this.#socket.on('data', (chunk: Buffer) => {
      this.#read(chunk)
    })
    this.#socket.on('error', (error) => {
      this.#end(error.message)
    })
    this.#socket.on('close', () => {
      this.#end('the connection was lost')
    })
  }

  get isBound(): boolean {
    return this.#state === 'bound'
  }

  /** Connects and binds; call once. */
  async bind(): Promise<BindOutcome> {
    const { readyEvent, bind, connectMs } = this.#options
    const timer = setTimeout(() => {
      this.#end('no bind in time')
    }, connectMs)
    const isReady = await Promise.race([
      new Promise<true>((resolve) =>
        this.#socket.once(readyEvent, () => {
          resolve(true)
        }),
      ),
      this.closed.then(() => false),
    ])
    if (isReady) this.#state = 'binding'
    const outcome = isReady ? await this.#ask(bind) : null
    clearTimeout(timer)
    if (outcome?.kind === 'answered' && this.#isYes(outcome.answer)) return { kind: 'bound' }
    this.#end('the bind failed')
    if (outcome?.kind === 'answered') return { kind: 'refused', status: outcome.answer.status }
    return { kind: 'failed', reason: await this.closed }
  }

  /** Sends a request and waits for its answer. */
  request(pdu: PduOf<'submit_sm'>): Promise<Outcome> {
    if (this.#state !== 'bound') return Promise.resolve({ kind: 'not-sent', reason: 'not bound' })
    return this.#requests.add(this.#ask(pdu))
  }

  /** Ends in good order. */
  async unbind(): Promise<void> {
    if (this.#state === 'bound') {
      this.#state = 'unbinding'
      await this.#arrivals.settled()
      await this.#requests.settled()
      this.#stopEnquiring()
      await this.#ask(makePdu('unbind', {}), FAREWELL_MS)
    }
    this.#end('unbound from this side')
    await this.closed
  }

  /** Ends at once. */
  destroy(reason: string): void {
    this.#end(reason)
  }

  #ask(request: Pdu, answerMs = this.#options.answerMs): Promise<Outcome> {
    if (this.#state === 'closed') return Promise.resolve({ kind: 'not-sent', reason: 'closed' })
    this.#sequence = this.#sequence === 0x7fffffff ? 1 : this.#sequence + 1
    const sequence = this.#sequence
    const octets = writePdu({ ...request, sequence })
    if (!Buffer.isBuffer(octets)) return Promise.resolve(octets)
    return new Promise((settle) => {
      const timer = setTimeout(() => {
        this.#settle(sequence, { kind: 'unanswered', reason: 'no answer in time' })
      }, answerMs)
      this.#pending.set(sequence, { settle, timer })
      this.#socket.write(octets)
    })
  }

  #settle(sequence: number, outcome: Outcome): void {
    const pending = this.#pending.get(sequence)
    // An answer may come twice, or after its time.
    if (pending === undefined) return
    this.#pending.delete(sequence)
    clearTimeout(pending.timer)
    pending.settle(outcome)
  }

  #answer(command: CommandName, sequence: number, status: number): void {
    if (this.#state !== 'closed') this.#socket.write(encodePdu(makePdu(command, { sequence, status })))
  }

  #read(chunk: Buffer): void {
    if (this.#state === 'closed') return
    this.#silences = 0
    this.#idle?.refresh()
    const { frames, rest, isLost } = cutFrames(this.#rest, chunk)
    this.#rest = rest
    for (const frame of frames) this.#take(decodePdu(frame))
    if (isLost) {
      this.#answer('generic_nack', 0, STATUS.invalidLength)
      this.#end('what came is no SMPP')
    }
  }

  #take(decoded: Decoded): void {
    if (this.#state === 'closed') return
    if (decoded.kind === 'pdu') {
      this.#takePdu(decoded.pdu)
      return
    }
    const { id, sequence } = decoded
    if (decoded.kind === 'malformed') {
      // Refused for good, so that it does not come again after the next bind.
      const command = id === COMMANDS.deliver_sm.id ? 'deliver_sm_resp' : 'generic_nack'
      if (id < ANSWER_BIT) this.#answer(command, sequence, decoded.status)
      this.#end(`a malformed PDU came: ${decoded.reason}`)
    } else if (id < ANSWER_BIT && !UNANSWERED_IDS.has(id)) {
      this.#answer('generic_nack', sequence, STATUS.invalidCommand)
    }
  }

  #takePdu(pdu: Pdu): void {
    if (pdu.command === 'enquire_link') {
      this.#answer('enquire_link_resp', pdu.sequence, STATUS.ok)
    } else if (pdu.command === 'unbind') {
      this.#answer('unbind_resp', pdu.sequence, STATUS.ok)
      this.#end('the SMSC unbound')
    } else if (pdu.command === 'deliver_sm' || pdu.command === 'data_sm') {
      void this.#arrivals.add(this.#takeArrival(pdu))
    } else if (COMMANDS[pdu.command].id >= ANSWER_BIT) {
      if (this.#state === 'binding' && this.#isYes(pdu)) this.#becomeBound()
      this.#settle(pdu.sequence, { kind: 'answered', answer: pdu })
    } else {
      this.#answer('generic_nack', pdu.sequence, STATUS.invalidCommand)
    }
  }

  #becomeBound(): void {
    this.#state = 'bound'
    this.#idle = setTimeout(() => void this.#enquire(), this.#options.enquireMs)
  }

  #isYes({ command, status }: Pdu): boolean {
    return command === `${this.#options.bind.command}_resp` && status === STATUS.ok
  }

  async #takeArrival(arrival: Arrival): Promise<void> {
    const isStored = this.isBound && (await this.#options.onArrival(arrival).then(yes, no))
    const status = isStored ? STATUS.ok : STATUS.temporaryFault
    this.#answer(`${arrival.command}_resp`, arrival.sequence, status)
  }

  /** Nothing was heard for a while: asks whether anyone is there. */
  async #enquire(): Promise<void> {
    while (this.#state !== 'closed') {
      const outcome = await this.#ask(makePdu('enquire_link', {}))
      if (outcome.kind === 'answered') return
      this.#silences += 1
      if (this.#silences >= this.#options.silentEnquiries) this.#end('the SMSC is silent')
    }
  }

  #stopEnquiring(): void {
    clearTimeout(this.#idle)
    this.#idle = undefined
  }

  #end(reason: string): void {
    if (this.#state === 'closed') return
    this.#state = 'closed'
    this.#stopEnquiring()
    for (const sequence of [...this.#pending.keys()]) this.#settle(sequence, { kind: 'unanswered', reason })
    // A last answer may still leave, unless the peer takes nothing any more.
    this.#socket.destroySoon()
    setTimeout(() => this.#socket.destroy(), FAREWELL_MS).unref()
    this.#resolveClosed(reason)
  }
}

/** The octets of a request, or that it has none. */
function writePdu(pdu: Pdu): Buffer | Extract<Outcome, { kind: 'unwritable' }> {
  try {
    return encodePdu(pdu)
  } catch (error) {
    if (error instanceof PduFault) return { kind: 'unwritable', reason: error.message }
    throw error
  }
}

const yes = (): boolean => true
const no = (): boolean => false
