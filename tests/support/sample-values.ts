/** Values of sample rows. */

export const id = (number: number): string => `019abe80-0000-7000-8000-${String(number).padStart(12, '0')}`
export const at = (minute: number): Date => new Date(Date.UTC(2026, 2, 4, 10, minute))
export const on = (day: string): Date => new Date(`${day}T00:00Z`)
