import type { FoundChild } from '../../core/menus/facts.ts'
import type { StepOf } from '../../core/menus/step.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Worker } from '../answering/sender.ts'
import { nameOf } from '../answering/talk.ts'
import type { Conversation } from '../answering/talk.ts'
import { searchChildren } from '../search-children.ts'
import type { SearchAnswer } from '../search-children.ts'

/** Children of a village who fit a name, likeliest first; a search that cannot be made finds nobody. */
export async function foundChildren(
  conversation: Conversation<Worker>,
  { villageId, name }: StepOf<'found'>,
): Promise<readonly FoundChild[]> {
  const { children } = await search(conversation, { villageId, name })
  return children.map((child) => ({
    card: child.cardNumber,
    child: nameOf(conversation, child).child,
    birthOn: child.birthOn,
  }))
}

async function search(
  { tx, deps, sender }: Conversation<Worker>,
  question: Pick<StepOf<'found'>, 'villageId' | 'name'>,
): Promise<SearchAnswer> {
  try {
    return await searchChildren(tx, deps, sender.district.id, question)
  } catch (problem) {
    if (problem instanceof Refusal && problem.code.startsWith('search-')) return { children: [], more: 0 }
    throw problem
  }
}
