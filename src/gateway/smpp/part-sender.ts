import type { Log } from '../../app/ports.ts'
import type { Link } from './link.ts'
import { Pace } from '../pacing/pace.ts'
import type { Pdu, PduOf } from './pdu.ts'
import type { Outcome } from './session.ts'
import type { SmppConfig } from './smpp-config.ts'
import { statusText, submitMeaning, type SubmitMeaning } from './status.ts'
import { steadyRate } from '../pacing/token-bucket.ts'

/** What an SMSC made of a part. */
interface Answered {
  readonly kind: 'answered'
  readonly meaning: SubmitMeaning
  readonly status: number
  /** As the SMSC wrote it; "" unless the part was accepted. */
  readonly messageId: string
}

/** What became of a part. */
export type PartAnswer = Answered | Exclude<Outcome, { kind: 'answered' }>

/** Sends parts through one link. */
export interface PartSender {
  /**
   * Sends one part when its turn comes; one that came too fast takes its turn again. At each turn `whyNot` is asked for
   * a reason to keep it back.
   */
  readonly send: (
    part: PduOf<'submit_sm'>,
    isUrgent: boolean,
    whyNot?: () => string | null,
  ) => Promise<PartAnswer>
  /** Gives back the parts that still wait for their turn. */
  readonly stop: () => void
}

/** What sending needs. */
export interface PartSenderOptions {
  readonly config: Pick<SmppConfig, 'name' | 'window' | 'partsPerSecond' | 'timing' | 'vendorStatuses'>
  readonly link: Link
  readonly random: () => number
  readonly elapsedMs: () => number
  readonly log: Log
}

/** Builds the sending of parts through one link, at the pace the link can bear. */
export function partSender({ config, link, random, elapsedMs, log }: PartSenderOptions): PartSender {
  const { name: gateway, window, partsPerSecond, timing, vendorStatuses } = config
  const pace = new Pace({
    window,
    rate: partsPerSecond === null ? null : steadyRate(partsPerSecond),
    pause: { firstMs: timing.firstPauseMs, longestMs: timing.longestPauseMs },
    random,
    elapsedMs,
  })

  function read(answer: Pdu): Answered {
    const { status } = answer
    const messageId = answer.command === 'submit_sm_resp' ? answer.messageId : ''
    return { kind: 'answered', meaning: submitMeaning(status, vendorStatuses), status, messageId }
  }

  async function sendOnce(part: PduOf<'submit_sm'>): Promise<PartAnswer> {
    const session = link.session()
    if (session === null) return { kind: 'not-sent', reason: 'the link is down' }
    const outcome = await session.request(part)
    if (outcome.kind !== 'answered') return outcome
    const answer = read(outcome.answer)
    if (answer.meaning === 'unknown')
      log.warn('unknown status', { gateway, status: statusText(answer.status) })
    if (answer.meaning === 'rebind') session.destroy(`the SMSC answered ${statusText(answer.status)}`)
    return answer
  }

  const send: PartSender['send'] = async (part, isUrgent, whyNot) => {
    const ticket = pace.ticket(isUrgent)
    const patientUntil = elapsedMs() + timing.patienceMs
    while (link.session() !== null) {
      const isMyTurn = await pace.turn(ticket, patientUntil - elapsedMs())
      if (!isMyTurn) return { kind: 'not-sent', reason: 'no turn in time' }
      const reason = whyNot?.() ?? null
      const answer: PartAnswer = reason === null ? await sendOnce(part) : { kind: 'not-sent', reason }
      const meaning = answer.kind === 'answered' ? answer.meaning : null
      pace.end(meaning === 'accepted' ? 'taken' : meaning === 'congested' ? 'too-fast' : 'neither')
      if (meaning !== 'congested') return answer
    }
    return { kind: 'not-sent', reason: 'the link is down' }
  }

  return {
    send,
    stop: () => {
      pace.close()
    },
  }
}
