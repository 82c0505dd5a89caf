/**
 * Makes a text fit to be stored: Postgres takes no U+0000, and half a surrogate pair is no character.
 * @example arrivedText('BCG\u00001') // 'BCG1'
 */
export function arrivedText(text: string): string {
  return text.replaceAll('\u0000', '').replace(/\p{Surrogate}/gu, '\ufffd')
}

/**
 * The sender as E.164 where it can be told, else as it came: a short code or a name stays what it is.
 * A form body turns "+" into a space; "00" stands for "+"; `bare` numbers come with neither.
 * @example arrivedNumber(' 447700900123', 'plus') // '+447700900123'
 */
export function arrivedNumber(given: string, written: 'plus' | 'bare'): string {
  const number = given.trim()
  const digits = number.replace(/[\s().-]/g, '')
  if (/^\+[1-9]\d{6,14}$/.test(digits)) return digits
  if (/^00[1-9]\d{6,14}$/.test(digits)) return `+${digits.slice(2)}`
  const lostPlus = /^\s/.test(given) || written === 'bare'
  return lostPlus && /^[1-9]\d{7,14}$/.test(digits) ? `+${digits}` : number
}
