import type { Clock, Gateway, OutgoingText, SubmitAnswer } from '../../app/ports.ts'
import { AFTER_HOURS, isAfterHours, refuseIfTooLate } from '../too-late.ts'
import { destinationOf } from './address.ts'
import type { PartSender } from './part-sender.ts'
import { makePdu, type PduOf } from './pdu.ts'
import type { SmppConfig } from './smpp-config.ts'
import { joinAnswers, readPartAnswer } from './submit-answer.ts'
import { codeText } from './text-coding.ts'
import { absoluteTime } from './validity.ts'

/** What sending texts needs. */
export interface TextSenderOptions {
  readonly config: SmppConfig
  readonly sendPart: PartSender['send']
  readonly clock: Clock
  readonly random: () => number
}

/** Parts that can be numbered, and digits that fit destination_addr. */
const MOST_PARTS = 255
const NUMBER = /^\+?\d{1,20}$/

/** Builds the sending of texts; the parts of one text go one after the other, so that they keep their order. */
export function textSender({ config, sendPart, clock, random }: TextSenderOptions): Gateway['submit'] {
  // Starting anywhere keeps two processes, or one before and after a restart, from mixing their parts.
  let reference = Math.floor(random() * 0x10000)

  function pdusOf({ to, body, validUntil }: OutgoingText): PduOf<'submit_sm'>[] {
    reference = (reference + 1) % 0x10000
    const { dataCoding, parts } = codeText(body, config, reference)
    const { address: source, ton: sourceTon, npi: sourceNpi } = config.source
    const common = {
      ...destinationOf(to),
      source,
      sourceTon,
      sourceNpi,
      dataCoding,
      validUntil: validUntil === null ? '' : absoluteTime(validUntil),
      registeredDelivery: config.wantsReceipts ? 1 : 0,
    }
    return parts.map((part) => makePdu('submit_sm', { ...common, ...part }))
  }

  return async function submit(text) {
    const tooLate = refuseIfTooLate(text, clock)
    if (tooLate !== null) return tooLate
    if (!NUMBER.test(text.to)) return { kind: 'rejected', fault: 'number', reason: 'not a number' }
    const pdus = pdusOf(text)
    if (pdus.length > MOST_PARTS) return { kind: 'rejected', fault: 'message', reason: 'too long' }
    const answers: SubmitAnswer[] = []
    for (const pdu of pdus) {
      // A text that has begun to leave is finished: a torn one is worse than one that is seconds late.
      const whyNot = (): string | null =>
        answers.length === 0 && isAfterHours(text, clock) ? AFTER_HOURS.reason : null
      const answer = readPartAnswer(await sendPart(pdu, text.urgent, whyNot), config.messageIds.inAnswers)
      answers.push(answer)
      if (answer.kind === 'rejected' || answer.kind === 'try-later') break
    }
    return joinAnswers(answers)
  }
}
