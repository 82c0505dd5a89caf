import { Agent, request } from 'node:http'
import { buffer } from 'node:stream/consumers'
import type { WireRequest } from './arbitrary-request.ts'

export interface WireReply {
  readonly status: number
  readonly headers: Readonly<Record<string, unknown>>
  readonly text: string
}

/** Sends requests as they stand: unlike `fetch`, it mends neither addresses nor headers. */
export function openSender(address: string) {
  const agent = new Agent({ keepAlive: true, maxSockets: 4 })
  const { hostname, port } = new URL(address)
  const send = ({ method, path, headers, body }: WireRequest): Promise<WireReply> =>
    new Promise((resolve, reject) => {
      const sent = request({
        agent,
        hostname,
        port,
        method,
        path,
        headers: { ...headers, ...lengthOf(body) },
      })
      sent.on('error', reject)
      sent.on('response', (answer) => {
        buffer(answer).then((bytes) => {
          resolve({ status: answer.statusCode ?? 0, headers: answer.headers, text: bytes.toString() })
        }, reject)
      })
      sent.end(body === null ? undefined : Buffer.from(body, 'latin1'))
    })
  const close = (): void => {
    agent.destroy()
  }
  return { send, close }
}

const lengthOf = (body: string | null) => (body === null ? {} : { 'content-length': body.length })
