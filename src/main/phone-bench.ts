import type { PhoneBench, PhoneText, TryOutPhone } from '../http/pages/phone.ts'
import type { HandsetGateway } from '../gateway/handset/handset-gateway.ts'
import type { Clock } from '../app/ports.ts'

export interface PhoneBenchParts {
  readonly handset: HandsetGateway
  readonly clock: Clock
  readonly phones: () => Promise<readonly TryOutPhone[]>
  /** Resolves when the service has answered what it was sent. */
  readonly whenIdle: () => Promise<void>
  readonly code: string
}

/** The phones of the handset gateway as the phone page drives them. */
export function openPhoneBench({ handset, clock, phones, whenIdle, code }: PhoneBenchParts): PhoneBench {
  const written = new Map<string, readonly PhoneText[]>()
  return {
    code,
    phones,
    thread: (number) => {
      const received = handset
        .inbox(number)
        .map(({ at, body }) => ({ at: at.toISOString(), body, isMine: false }))
      const all = [...received, ...(written.get(number) ?? [])]
      return all.sort(
        (one, other) => one.at.localeCompare(other.at) || Number(other.isMine) - Number(one.isMine),
      )
    },
    text: async (from, body) => {
      written.set(from, [...(written.get(from) ?? []), { at: clock.now().toISOString(), body, isMine: true }])
      await handset.text(from, body)
      await whenIdle()
    },
    dial: (from) => handset.dial(from, code),
    press: (from, typed) => handset.press(from, typed),
  }
}
