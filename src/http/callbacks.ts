import express, { Router } from 'express'
import type { Request, Response } from 'express'
import type { CallbackReceiver } from '../app/ports.ts'
import { Refusal } from '../core/refusals.ts'

const MAX_BODY = '64kb'

/** Where providers deliver texts, receipts and USSD steps: `/callbacks/<gateway>/<purpose>`. */
export function callbackRouter(receivers: ReadonlyMap<string, CallbackReceiver>): Router {
  const router = Router()
  router.use(express.raw({ type: () => true, limit: MAX_BODY }))
  router.all('/:gateway/:purpose', async function receive(request: Request, response: Response) {
    const { gateway, purpose } = request.params
    const receiver = receivers.get(String(gateway))
    if (receiver === undefined)
      throw new Refusal('route-not-found', 'No gateway of this name takes callbacks here.')
    const answer = await receiver.receive(String(purpose), {
      method: request.method,
      headers: headersOf(request),
      query: new URL(request.originalUrl, 'http://localhost').search.slice(1),
      body: Buffer.isBuffer(request.body) ? request.body : Buffer.alloc(0),
    })
    response.status(answer.status).type(answer.contentType).send(answer.body)
  })
  return router
}

function headersOf(request: Request): Record<string, string | undefined> {
  return Object.fromEntries(
    Object.entries(request.headers).map(([name, value]) => [
      name,
      Array.isArray(value) ? value.join(', ') : value,
    ]),
  )
}
