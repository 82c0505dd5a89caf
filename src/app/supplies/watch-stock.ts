import type { District } from '../../core/model.ts'
import { changeAlert, findOpenAlert } from '../../store/alerts.ts'
import type { Transaction } from '../../store/database.ts'
import type { Deps } from '../deps.ts'
import { postIn } from '../post-in.ts'
import { raiseAlert } from '../reactions/alerts.ts'
import { needOfPost } from './session-need.ts'

/**
 * Compares a post's store with its next session. What it lacks is said, and reaches the managers until the store is
 * enough; nobody is ranked by it.
 */
export async function watchStock(
  tx: Transaction,
  deps: Deps,
  { district, postId }: { readonly district: District; readonly postId: string },
): Promise<string> {
  const post = await postIn(tx, district.id, postId)
  const { needs } = await needOfPost(tx, deps, { district, post })
  const short = needs
    .filter(({ stock }) => stock !== null && stock.shortfallVials > 0)
    .map(({ vaccine, stock }) => `${stock?.shortfallVials ?? 0} ${vaccine}`)
    .join(', ')
  const subject = { districtId: district.id, kind: 'stock' as const, subject: postId }
  if (short !== '') {
    await raiseAlert(tx, deps, { ...subject, postId, childId: null, reactionId: null, words: short })
    return short
  }
  const open = await findOpenAlert(tx, subject)
  if (open !== undefined) await changeAlert(tx, open.id, { closedAt: deps.clock.now(), nextStepAt: null })
  return ''
}
