import type { Priority, Problem } from '../../core/coverage/priority.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'

/** The kinds of problem a place may have, in the order of their numbers, with what they ask for. */
export const KINDS: readonly {
  readonly category: Priority['category']
  readonly problem: Problem
  readonly name: string
  readonly advice: string
}[] = [
  { category: 1, problem: 'none', name: 'no problem', advice: 'children are reached and come back' },
  {
    category: 2,
    problem: 'utilisation',
    name: 'utilisation',
    advice: 'children are reached and do not come back: remind, ask why, find defaulters',
  },
  {
    category: 3,
    problem: 'access',
    name: 'access',
    advice: 'children are not reached, and those who are come back: more sessions, nearer',
  },
  { category: 4, problem: 'both', name: 'both', advice: 'children are not reached and do not come back' },
]

/** The number of a kind in its own frame, with its name. */
export function kindMarkup(priority: Priority | null): Markup {
  if (priority === null) return html`<span class="few">not known</span>`
  const { category } = priority
  const name = KINDS[category - 1]?.name ?? ''
  return html`<span class="with-kind"><span class="kind kind-${category}">${category}</span> ${name}</span>`
}
