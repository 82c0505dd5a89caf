import { formatDay } from '../../core/days/day.ts'
import type { HealthPost } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Transaction } from '../../store/database.ts'
import { listHealthPosts } from '../../store/districts.ts'
import { changePost, insertPost } from '../../store/posts.ts'
import type { PostSetting } from '../../store/posts.ts'
import type { Deps } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { postIn } from '../post-in.ts'

/** What is left out stays as it is. */
type PostChange = { readonly [Fact in keyof PostSetting]?: PostSetting[Fact] | undefined }

interface Where {
  readonly districtId: string
  readonly by: string
}

/** Adds a post by hand, for good or for a time. @throws {Refusal} post-taken, post-end-odd */
export async function addPost(
  tx: Transaction,
  deps: Deps,
  { districtId, by, ...given }: Where & PostSetting,
): Promise<HealthPost> {
  await refuseOdd(tx, districtId, given, null)
  const id = deps.newId()
  await insertPost(tx, { id, districtId, ...given })
  const subject = { kind: 'health-post', id }
  await noteChange(tx, deps, { districtId, actor: by, act: 'add-post', subject, after: factsOf(given) })
  return postIn(tx, districtId, id)
}

/**
 * Changes what a post is; its villages, people, doses and counts stay with it. Made permanent, it has no end any more.
 * @throws {Refusal} post-not-found, post-taken, post-end-odd
 */
export async function setPost(
  tx: Transaction,
  deps: Deps,
  { districtId, by, postId, change }: Where & { readonly postId: string; readonly change: PostChange },
): Promise<HealthPost> {
  const before = await postIn(tx, districtId, postId)
  const wanted: PostSetting = {
    name: change.name ?? before.name,
    nationalId: change.nationalId === undefined ? before.nationalId : change.nationalId,
    kind: change.kind ?? before.kind,
    untilOn:
      change.untilOn !== undefined ? change.untilOn : change.kind === 'permanent' ? null : before.untilOn,
  }
  await refuseOdd(tx, districtId, wanted, postId)
  await changePost(tx, postId, wanted)
  const after = await postIn(tx, districtId, postId)
  await noteChange(tx, deps, {
    districtId,
    actor: by,
    act: 'set-post',
    subject: { kind: 'health-post', id: postId },
    before: factsOf(before),
    after: factsOf(after),
  })
  return after
}

const factsOf = ({ name, nationalId, kind, untilOn }: PostSetting) => ({
  name,
  nationalId,
  kind,
  untilOn: untilOn === null ? null : formatDay(untilOn),
})

async function refuseOdd(
  tx: Transaction,
  districtId: string,
  { name, nationalId, kind, untilOn }: PostSetting,
  ownId: string | null,
): Promise<void> {
  if (untilOn !== null && kind === 'permanent')
    throw new Refusal('post-end-odd', 'A permanent post has no last day; make it outreach or temporary.')
  const others = (await listHealthPosts(tx, districtId)).filter(({ id }) => id !== ownId)
  const other = others.find(
    (post) => post.name === name || (nationalId !== null && post.nationalId === nationalId),
  )
  if (other === undefined) return
  const what = other.name === name ? 'name' : `number ${nationalId ?? ''}`
  throw new Refusal(
    'post-taken',
    `The post ${other.name} has this ${what}; choose another or change that one.`,
  )
}
