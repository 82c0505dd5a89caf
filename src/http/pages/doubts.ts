import type { DistrictFigures, VillageFigures } from '../../app/pages/district-figures.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'

interface Doubt {
  readonly name: string
  readonly advice: string
  readonly has: (figures: VillageFigures) => boolean
}

const DOUBTS: readonly Doubt[] = [
  {
    name: 'Over 100 %',
    advice: 'The target may be too low, or children come from elsewhere.',
    has: ({ first, last }) => [...first.flags, ...last.flags].includes('over-100'),
  },
  {
    name: 'More last than first doses',
    advice: 'Doses of a period are not of the same children; a birth cohort tells more.',
    has: ({ dropout }) => dropout.flags.includes('negative-dropout'),
  },
  {
    name: 'No target',
    advice: 'The district as a whole has no coverage until one is stated.',
    has: ({ first }) => first.flags.includes('no-denominator'),
  },
]

/** What to look at before believing the figures; nothing where there is nothing. */
export function figureDoubts({ villages }: DistrictFigures): Markup | null {
  const found = DOUBTS.flatMap(({ name, advice, has }) => {
    const names = villages.filter(has).map(({ village }) => village.name)
    return names.length === 0 ? [] : [html`<p><strong>${name}:</strong> ${names.join(', ')}. ${advice}</p>`]
  })
  return found.length === 0 ? null : html`<div class="warning">${found}</div>`
}
