import { read } from '../../src/core/reading/read.ts'
import { aContext } from '../support/reading.ts'
import type { Measurement } from './measurement.ts'

/** Texts as they come in: most are short reports, some are long, some cannot be read. */
const TEXTS = [
  'GAVE 48217739 BOPV PENTA',
  'gave 4821 7739 opv1, penta1 yesterday',
  'GAVE 71602848 MR 23/11/2026 V 317',
  'gvae 48217739 bopv',
  'GAVE 48217739 BOPV\nGAVE 30951466 PENTA',
  'CARD 4821 7739',
  'NEW Mbari 12/10/2026 F 07700 900123 Asha Temba',
  'DUE Mbari tomorrow',
  'OPENED FIPV L4471B 05/2027',
  'REACTION 48217739 high fever and a fit last night',
  'UNDO',
  'hello, how are you today sister',
]

/** One pattern that knows the plain form of three texts and forgives nothing. */
const NAIVE =
  /^\s*(?:(GAVE)\s+(\d{8})((?:\s+[A-Z]+\d?)+)(?:\s+(\d{4}-\d\d-\d\d))?|(CARD)\s+(\d{8})|(NEW)\s+(\w+)\s+(\d{1,2})\/(\d{1,2})\/(\d{4})\s+([MF])\s+(\+?[\d ]+)\s+(.+))\s*$/i

/** Times as long as the pattern that forgiving may take; 800 when it was written, 50 microseconds a text. */
const BOUND = 1600

/** So many matches take about as long as one reading, so that the machine's other work disturbs both alike. */
const MATCHES_A_READING = 200

/** Reading texts beside matching them with one pattern, in turns; the best round of each. */
export function readVsRegex(rounds = 200): Measurement {
  const context = aContext()
  // Every result is used, so that none of the work can be left out.
  let used = 0
  const readAll = (): void => {
    for (const text of TEXTS) used += 'act' in read(text, context) ? 1 : 0
  }
  const matchAll = (): void => {
    for (let repeat = 0; repeat < MATCHES_A_READING; repeat++)
      for (const text of TEXTS) used += NAIVE.exec(text) === null ? 0 : 1
  }
  let ours = Infinity
  let baseline = Infinity
  for (let round = 0; round < rounds; round++) {
    ours = Math.min(ours, microsecondsOf(readAll) / TEXTS.length)
    baseline = Math.min(baseline, microsecondsOf(matchAll) / (MATCHES_A_READING * TEXTS.length))
  }
  if (used === 0) throw new Error('nothing was measured')
  const ratio = ours / baseline
  return {
    name: 'read-vs-regex',
    ours,
    baseline,
    ratio,
    bound: BOUND,
    ok: ratio <= BOUND,
    n: rounds * TEXTS.length,
    unit: 'microseconds a text',
  }
}

function microsecondsOf(work: () => void): number {
  const start = process.hrtime.bigint()
  work()
  return Number(process.hrtime.bigint() - start) / 1000
}
