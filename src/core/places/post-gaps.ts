import type { Day } from '../days/day.ts'

/** What is known of a health post, as far as it may lack something. */
export interface PostFacts {
  readonly nationalId: string | null
  /** Null: for good, or until further notice. */
  readonly untilOn: Day | null
  readonly hasSessionDays: boolean
  readonly villages: number
  readonly vaccinators: number
}

export const POST_GAPS = ['national-id', 'session-days', 'villages', 'vaccinator', 'time-is-over'] as const
export type PostGap = (typeof POST_GAPS)[number]

/** What the record of a post lacks on a day; `time-is-over`: it was set up for a time, and the time has passed. */
export function postGaps(post: PostFacts, today: Day): readonly PostGap[] {
  const lacks: Readonly<Record<PostGap, boolean>> = {
    'national-id': post.nationalId === null,
    'session-days': !post.hasSessionDays,
    villages: post.villages === 0,
    vaccinator: post.vaccinators === 0,
    'time-is-over': post.untilOn !== null && post.untilOn < today,
  }
  return POST_GAPS.filter((gap) => lacks[gap])
}
