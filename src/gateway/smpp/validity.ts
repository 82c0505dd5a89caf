/**
 * An instant in the 16-character absolute form of SMPP 3.4 §7.1.1, in UTC: YYMMDDhhmmss, tenths, quarters of
 * an hour from UTC, and their sign. A shorter text would be read as a relative time.
 * @example absoluteTime(new Date('2026-05-06T10:20:30Z')) // '260506102030000+'
 */
export function absoluteTime(instant: Date): string {
  const digits = instant.toISOString().replace(/\D/g, '')
  return `${digits.slice(2, 15)}00+`
}
