import { performance } from 'node:perf_hooks'
import { Worker } from 'node:worker_threads'
import smpp from 'smpp'
import { SmppConfig } from '../../src/gateway/smpp/smpp-config.ts'
import { smppGateway } from '../../src/gateway/smpp/smpp-gateway.ts'
import type { Measurement } from './measurement.ts'

export const WINDOW = 100
const ROUNDS = 5
const BOUND = 0.25
const BODY = 'Vaccines for A.T. on Tue 24 Nov, 9:00, Mbari Health Post. Bring the card.'

/** The SMSC: the npm library `smpp` on a thread of its own, answering every submit at once. */
const SMSC = `
  const { parentPort } = require('node:worker_threads')
  const smpp = require('smpp')
  const server = smpp.createServer((session) => {
    let made = 0
    session.on('error', () => undefined)
    session.on('pdu', (pdu) => {
      if (pdu.isResponse()) return
      session.send(pdu.response(pdu.command === 'submit_sm' ? { message_id: String((made += 1)) } : {}))
    })
  })
  server.listen(0, '127.0.0.1', () => parentPort.postMessage(server.address().port))
`

/** Our submits a second beside those of the bare library, each to the same SMSC with a window of 100; medians. */
export async function smppVsRaw(n = 20_000): Promise<Measurement> {
  const { port, stop } = await startBenchSmsc()
  const ours: number[] = []
  const bare: number[] = []
  for (let round = 0; round < ROUNDS; round += 1) {
    ours.push(await rateOf(n, () => submitOurs(port, n)))
    bare.push(await rateOf(n, () => submitBare(port, n)))
  }
  await stop()
  const [oursRate, bareRate] = [median(ours), median(bare)]
  const ratio = oursRate / bareRate
  return {
    name: 'smpp-vs-raw',
    ours: oursRate,
    baseline: bareRate,
    ratio,
    bound: BOUND,
    ok: ratio >= BOUND,
    n,
    unit: 'submits/s',
  }
}

/** Starts the SMSC. */
export async function startBenchSmsc(): Promise<{
  readonly port: number
  readonly stop: () => Promise<void>
}> {
  const smsc = new Worker(SMSC, { eval: true })
  const port = await new Promise<number>((resolve) => smsc.once('message', resolve))
  return {
    port,
    stop: async () => {
      await smsc.terminate()
    },
  }
}

export function benchConfig(port: number): SmppConfig {
  return SmppConfig.parse({
    kind: 'smpp',
    name: 'bench',
    host: '127.0.0.1',
    port,
    systemId: 'duebell',
    window: WINDOW,
    source: { address: '70900', ton: 3, npi: 0 },
  })
}

async function rateOf(n: number, run: () => Promise<void>): Promise<number> {
  const start = performance.now()
  await run()
  return (n * 1000) / (performance.now() - start)
}

async function submitOurs(port: number, n: number): Promise<void> {
  const config = benchConfig(port)
  const nothing = (): void => undefined
  const log = { info: nothing, warn: nothing, error: nothing }
  const gateway = smppGateway({ config, secrets: {}, clock: { now: () => new Date() }, log, random: () => 0 })
  await gateway.open({
    onText: () => Promise.resolve(),
    onReceipt: () => Promise.resolve(),
    onScreen: () => Promise.resolve({ text: '', ends: true }),
  })
  let left = n
  const sender = async (): Promise<void> => {
    while (left > 0) {
      left -= 1
      const answer = await gateway.submit({
        id: String(left),
        to: '+447700900123',
        body: BODY,
        validUntil: null,
        urgent: false,
      })
      if (answer.kind !== 'accepted') throw new Error(`not accepted: ${answer.kind}`)
    }
  }
  await Promise.all(Array.from({ length: WINDOW }, sender))
  await gateway.close()
}

/** Submits so many with the bare library, a window's worth at a time. */
export function submitBare(port: number, n: number): Promise<void> {
  return new Promise((resolve, reject) => {
    const session = smpp.connect({ host: '127.0.0.1', port })
    let [left, waiting] = [n, 0]
    const fields = {
      source_addr: '70900',
      destination_addr: '447700900123',
      dest_addr_ton: 1,
      dest_addr_npi: 1,
      data_coding: 0,
      registered_delivery: 1,
      short_message: Buffer.from(BODY),
    }
    const submitNext = (): void => {
      left -= 1
      waiting += 1
      session.submit_sm(fields, ({ command_status: status }) => {
        waiting -= 1
        if (status !== 0) reject(new Error(`status ${String(status)}`))
        else if (left > 0) submitNext()
        else if (waiting === 0)
          session.unbind(() => {
            session.destroy()
            resolve()
          })
      })
    }
    session.bind_transceiver({ system_id: 'duebell', password: '' }, () => {
      for (let at = 0; at < Math.min(WINDOW, n); at += 1) submitNext()
    })
  })
}

function median(values: readonly number[]): number {
  return values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? NaN
}
