import { takePin } from '../core/pins/take-pin.ts'
import { insertTextIn } from '../store/texts.ts'
import { keyedKey } from '../store/text-pins.ts'
import type { Deps } from './deps.ts'
import type { IncomingText } from './ports.ts'

/**
 * Stores a text before anyone has read it, so that nothing is lost; the same text delivered again is known by its key.
 * Resolves once it is stored: only then may the gateway be told that we have it.
 */
export async function receiveText(deps: Deps, text: IncomingText): Promise<void> {
  const { id, isNew } = await storeText(deps, text)
  if (isNew) await deps.conveyor.readText(id)
}

/** Stores a text as it came, its PIN apart from its words; `isNew` is false where the same one is stored already. */
export async function storeText(
  deps: Deps,
  text: IncomingText,
): Promise<{ readonly id: string; readonly isNew: boolean }> {
  const id = deps.newId()
  const { db } = deps.database
  const { body, pin } = takePin(text.body, deps.shelf.pinWords)
  const isNew = await insertTextIn(db, {
    id,
    gateway: text.gateway,
    key: pin === null ? text.key : keyedKey(db, text.key),
    fromNumber: text.from,
    toNumber: text.to,
    body,
    pin,
    missingParts: text.missingParts ?? 0,
    isBinary: text.isBinary ?? false,
    receivedAt: deps.clock.now(),
  })
  return { id, isNew }
}
