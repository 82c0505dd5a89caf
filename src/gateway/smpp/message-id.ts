/** How an SMSC writes its message ids: as a text, a text whose leading zeros mean nothing, or a number. */
export type MessageIdForm = 'text' | 'text-without-zeros' | 'hex' | 'decimal'

/**
 * One spelling for all the ways an SMSC writes the same id in its answers and in its receipts; an id that is not
 * of the form stays as it came.
 * @example canonicalId('33E95179', 'hex') // '870928761'
 */
export function canonicalId(id: string, form: MessageIdForm): string {
  if (form === 'text-without-zeros') return id.replace(/^0+(?=.)/, '')
  if (form === 'hex' && /^[0-9a-f]+$/i.test(id)) return BigInt(`0x${id}`).toString()
  if (form === 'decimal' && /^[0-9]+$/.test(id)) return BigInt(id).toString()
  return id
}
