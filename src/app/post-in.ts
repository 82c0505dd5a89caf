import type { HealthPost } from '../core/model.ts'
import { Refusal } from '../core/refusals.ts'
import { getChild } from '../store/children.ts'
import type { Db } from '../store/database.ts'
import { listHealthPosts } from '../store/districts.ts'

/** A post of a district. @throws {Refusal} post-not-found, also for a post of another district */
export async function postIn(db: Db, districtId: string, postId: string): Promise<HealthPost> {
  const post = (await listHealthPosts(db, districtId)).find(({ id }) => id === postId)
  if (post !== undefined) return post
  throw new Refusal('post-not-found', 'The district has no such health post.')
}

/** A post of a district by its name. @throws {Refusal} post-not-found, with the names that are known */
export async function postNamed(db: Db, districtId: string, name: string): Promise<HealthPost> {
  const posts = await listHealthPosts(db, districtId)
  const post = posts.find((each) => each.name === name)
  if (post !== undefined) return post
  const known = posts.map((each) => each.name).join(', ')
  throw new Refusal('post-not-found', `The district has no health post ${name}; it has ${known}.`)
}

/** A post of a child's own district. @throws {Refusal} child-not-found, post-not-found */
export async function postOfChild(db: Db, childId: string, postId: string): Promise<HealthPost> {
  return postIn(db, (await getChild(db, childId)).districtId, postId)
}
