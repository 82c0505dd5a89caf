import { DateTime } from 'luxon'
import type { TimeForm } from './http-config.ts'

/** Reads an instant as a provider writes it; without a zone it is UTC; nonsense is `null`. */
export function readTime(text: string, form: TimeForm): Date | null {
  if (form === 'iso') {
    const time = DateTime.fromISO(text.trim(), { zone: 'utc' })
    return time.isValid ? time.toJSDate() : null
  }
  if (!/^\d{1,15}(\.\d+)?$/.test(text.trim())) return null
  return new Date(Number(text) * (form === 'seconds' ? 1000 : 1))
}
