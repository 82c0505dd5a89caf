import type { Child } from '../../core/model.ts'
import { findSigns } from '../../core/reactions/sign-catalogue.ts'
import { say } from '../../core/texts/phrases.ts'
import { childrenOfLine } from '../../store/children.ts'
import { getVillage } from '../../store/districts.ts'
import { insertReviewItem } from '../../store/follow-up.ts'
import { raiseAlert } from '../reactions/alerts.ts'
import type { Outcome } from './outcome.ts'
import type { Family } from './sender.ts'
import type { Talk } from './talk.ts'

/** What a parent writes in own words goes to a person, and the parent is told so; nothing is made of it here. */
export async function passOn(talk: Talk<Family>): Promise<Outcome> {
  const { tx, deps, sender, text, book } = talk
  const [child] = await childrenOfLine(tx, sender.line.id)
  await insertReviewItem(tx, {
    id: deps.newId(),
    districtId: sender.district.id,
    kind: 'parent-text',
    childId: child?.id ?? null,
    otherChildId: null,
    lineId: sender.line.id,
    textInId: text.id,
    note: null,
    createdAt: deps.clock.now(),
  })
  const post = child === undefined ? sender.district.name : (await getVillage(tx, child.villageId)).postName
  const isUrgent = await raiseIfSerious(talk, child)
  const reply = isUrgent ? say(book, 'passed-on-urgent', { post }) : say(book, 'passed-on', { post })
  return { reply, act: null, problem: 'not-understood', effect: null }
}

/** Words of a serious reaction reach the managers at once; nothing is concluded from them. */
async function raiseIfSerious(
  { tx, deps, sender, text }: Talk<Family>,
  child: Child | undefined,
): Promise<boolean> {
  const signs = findSigns(deps.shelf.signs, text.body)
  if (!signs.some(({ weight }) => weight === 'serious')) return false
  await raiseAlert(tx, deps, {
    districtId: sender.district.id,
    kind: 'family-words',
    subject: sender.line.id,
    postId: null,
    childId: child?.id ?? null,
    reactionId: null,
    words: text.body,
  })
  return true
}
