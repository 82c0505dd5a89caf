/**
 * The values at a dotted path; `*` stands for every item of a list. A path that leads nowhere gives none.
 * A field whose own name has dots, as forms may have, is found too.
 * @example valuesAt({ sent: [{ id: 1 }, { id: 2 }] }, 'sent.*.id') // [1, 2]
 */
export function valuesAt(data: unknown, path: string): unknown[] {
  const whole = fieldOf(data, path)
  return whole.length > 0 ? whole : path.split('.').reduce(step, [data])
}

function step(values: unknown[], key: string): unknown[] {
  return values.flatMap((value) => (key === '*' ? itemsOf(value) : fieldOf(value, key)))
}

function itemsOf(value: unknown): unknown[] {
  return Array.isArray(value) ? (value as unknown[]) : []
}

function fieldOf(value: unknown, key: string): unknown[] {
  const isHolder = typeof value === 'object' && value !== null && Object.hasOwn(value, key)
  // The cast is what `hasOwn` has just shown.
  return isHolder ? [(value as Record<string, unknown>)[key]] : []
}

/** The texts at a path: numbers and yes-or-no values are written out, a repeated form field counts as several. */
export function textsAt(data: unknown, path: string): string[] {
  return valuesAt(data, path)
    .flatMap((value) => (Array.isArray(value) ? (value as unknown[]) : [value]))
    .filter((value) => ['string', 'number', 'boolean'].includes(typeof value))
    .map(String)
}
