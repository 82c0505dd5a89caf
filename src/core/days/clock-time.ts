/** Minutes after midnight as HH:MM. */
export function formatMinute(minute: number): string {
  const twoDigits = (value: number): string => String(value).padStart(2, '0')
  return `${twoDigits(Math.floor(minute / 60))}:${twoDigits(minute % 60)}`
}

/** HH:MM, known to be a time of a day, as minutes after midnight. */
export function minuteOf(time: string): number {
  const [hours = '', minutes = ''] = time.split(':')
  return Number(hours) * 60 + Number(minutes)
}
