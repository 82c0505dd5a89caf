import type { HealthPost } from '../../core/model.ts'
import { postGaps } from '../../core/places/post-gaps.ts'
import type { PostGap } from '../../core/places/post-gaps.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict, listHealthPosts } from '../../store/districts.ts'
import { countAtPosts } from '../../store/posts.ts'
import type { Deps } from '../deps.ts'
import { todayIn } from '../deps.ts'

/** A post with what its record lacks today. */
export interface PostRecord {
  readonly post: HealthPost
  readonly villages: number
  readonly vaccinators: number
  readonly gaps: readonly PostGap[]
}

/** The posts of a district by name. @throws {Refusal} district-not-found */
export async function postRecords(db: Db, deps: Deps, districtId: string): Promise<readonly PostRecord[]> {
  const today = todayIn(deps, await getDistrict(db, districtId))
  const counts = await countAtPosts(db, districtId)
  return (await listHealthPosts(db, districtId)).map((post) => {
    const { villages, vaccinators } = counts.get(post.id) ?? { villages: 0, vaccinators: 0 }
    const { nationalId, untilOn, sessions } = post
    const hasSessionDays = sessions.rules.length + sessions.extraDays.length > 0
    return {
      post,
      villages,
      vaccinators,
      gaps: postGaps({ nationalId, untilOn, hasSessionDays, villages, vaccinators }, today),
    }
  })
}
