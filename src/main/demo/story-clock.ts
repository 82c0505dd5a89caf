import type { Clock } from '../../app/ports.ts'

/** A clock that a story moves; once resumed it runs on by itself from where the story ended. */
export interface StoryClock extends Clock {
  readonly set: (to: Date) => void
  readonly resume: () => void
}

export function storyClock(start: Date, machine: Clock): StoryClock {
  let shown = start
  let resumedAt: Date | null = null
  return {
    now: () => {
      if (resumedAt === null) return shown
      return new Date(shown.getTime() + machine.now().getTime() - resumedAt.getTime())
    },
    set: (to) => {
      shown = to
    },
    resume: () => {
      resumedAt = machine.now()
    },
  }
}
