import type { Clock, OutgoingText } from '../../app/ports.ts'

/** A text that lies in a phone's inbox. */
export interface DeliveredText {
  readonly id: string
  readonly to: string
  readonly body: string
  readonly at: Date
}

/** Every phone of the handset network, by number; a number nobody used has an empty inbox. */
export interface Phones {
  /** What a phone has received, oldest first. */
  readonly inbox: (number: string) => readonly DeliveredText[]
  /** Calls back at each delivery; returns how to stop that. */
  readonly onDelivered: (listener: (text: DeliveredText) => void) => () => void
  /** Puts a text into its phone's inbox; the same text again changes nothing. */
  readonly deliver: (text: OutgoingText) => void
}

/** Phones with nothing in their inboxes yet. */
export function newPhones(clock: Clock): Phones {
  const inboxes = new Map<string, readonly DeliveredText[]>()
  const listeners = new Set<(text: DeliveredText) => void>()
  const inbox = (number: string): readonly DeliveredText[] => inboxes.get(number) ?? []
  return {
    inbox,
    onDelivered(listener) {
      listeners.add(listener)
      return () => void listeners.delete(listener)
    },
    deliver({ id, to, body }) {
      if (inbox(to).some((text) => text.id === id)) return
      const text = { id, to, body, at: clock.now() }
      inboxes.set(to, [...inbox(to), text])
      for (const listener of listeners) listener(text)
    },
  }
}
