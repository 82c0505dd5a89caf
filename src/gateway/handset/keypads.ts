import type { NewId, ScreenAnswer, ScreenRequest } from '../../app/ports.ts'

/** The USSD side of every phone of the handset network; each has at most one dialogue open. */
export interface Keypads {
  /** Dials a USSD code; a dialogue that was open on this phone is left. */
  readonly dial: (from: string, code: string) => Promise<ScreenAnswer>
  /** Answers the open screen; the same `key` again is the same step delivered again. Rejects when none is open. */
  readonly press: (from: string, typed: string, key?: string) => Promise<ScreenAnswer>
}

/** Keypads with no dialogue open; `ask` fetches the next screen. */
export function newKeypads(
  newId: NewId,
  ask: (request: Omit<ScreenRequest, 'gateway'>) => Promise<ScreenAnswer>,
): Keypads {
  const open = new Map<string, string>()

  async function show(step: Omit<ScreenRequest, 'gateway' | 'dialogue'>): Promise<ScreenAnswer> {
    const { from } = step
    const dialogue = open.get(from)
    if (dialogue === undefined) throw new Error('no dialogue is open on this phone; dial first')
    const answer = await ask({ dialogue, ...step })
    if (answer.ends) open.delete(from)
    return answer
  }

  return {
    dial(from, code) {
      open.set(from, newId())
      return show({ from, typed: code, isFirst: true })
    },
    press: (from, typed, key = newId()) => show({ from, typed, isFirst: false, key }),
  }
}
