import type { CallbackAnswer, CallbackRequest, GatewayHandlers } from '../../app/ports.ts'
import { Refusal } from '../../core/refusals.ts'
import { receiptsIn, screenIn, textsIn, type Provider } from './arrivals.ts'
import { writeContent } from './content.ts'
import type { AnswerConfig, HttpGatewayConfig } from './http-config.ts'
import { readFields } from './request-fields.ts'
import type { TemplateValues } from './template.ts'

type Receive = NonNullable<HttpGatewayConfig['receive']>

/**
 * Deals with one proven request and gives the answer once everything in it is stored; where a handler fails,
 * nothing is answered and the provider sends the whole request again.
 * @throws {Refusal} route-not-found, body-malformed, input-invalid
 */
export async function answerCallback(
  purpose: string,
  request: CallbackRequest,
  { receive, provider, handlers }: { receive: Receive; provider: Provider; handlers: GatewayHandlers },
): Promise<CallbackAnswer> {
  const { text, receipt, screen } = receive
  if (purpose === 'text' && text !== undefined) {
    for (const arrived of textsIn(fieldsOf(request), text, provider)) await handlers.onText(arrived)
    return answer(text.answer)
  }
  if (purpose === 'receipt' && receipt !== undefined) {
    for (const arrived of receiptsIn(fieldsOf(request), receipt, provider)) await handlers.onReceipt(arrived)
    return answer(receipt.answer)
  }
  if (purpose === 'screen' && screen !== undefined) {
    const asked = screenIn(fieldsOf(request), screen, provider)
    const next = await handlers.onScreen(asked)
    return answer(next.ends ? screen.ends : screen.continues, { text: next.text, dialogue: asked.dialogue })
  }
  throw new Refusal('route-not-found', `This provider is not set up to send "${purpose}".`)
}

function fieldsOf({ body, query }: CallbackRequest): unknown {
  return readFields(body, query)
}

function answer({ status, contentType, content }: AnswerConfig, values: TemplateValues = {}): CallbackAnswer {
  return { status, contentType, body: writeContent(contentType, content, values) }
}
