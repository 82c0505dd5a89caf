import { districtFigures } from '../../app/pages/district-figures.ts'
import { PLAIN_CHOICE } from '../../app/pages/figure-choice.ts'
import type { DistrictFigures, VillageFigures } from '../../app/pages/district-figures.ts'
import { wilsonInterval } from '../../core/coverage/coverage-ratio.ts'
import type { CoverageRatio } from '../../core/coverage/coverage-ratio.ts'
import { coveragePlot } from './charts/coverage-plot.ts'
import type { CoverageMark } from './charts/coverage-plot.ts'
import type { DistrictPage } from './layout.ts'
import { html } from './html.ts'
import type { Markup } from './html.ts'
import type { Visit } from './visit.ts'
import { dropoutText, ratioMarkup, targetText } from './words.ts'

/** The district at a glance: who is reached, who drops out, where. */
export async function overviewPage({ scope }: Visit): Promise<DistrictPage> {
  const figures = await districtFigures(scope, PLAIN_CHOICE)
  const body = html`<h1>${scope.district.name}</h1>
    ${keyFigures(figures)}
    <h2>Coverage by village</h2>
    ${villagePlot(figures)}`
  return { title: 'Overview', way: 'Overview', body }
}

function keyFigures({ whole, ladder }: DistrictFigures): Markup {
  const [first, last] = [ladder[0], ladder.at(-1)]
  const named = (dose: typeof first): string => (dose === undefined ? '' : `${dose.series} ${dose.dose}`)
  return html`<dl class="figures">
    ${coverageFigure(`Reached: ${named(first)}`, whole.first)}
    ${coverageFigure(`Completed: ${named(last)}`, whole.last)}
    <div>
      <dt>Dropout</dt>
      <dd class="value">${dropoutText(whole.dropout)}</dd>
      <dd>${whole.dropout.dropped} of ${whole.dropout.first} who began</dd>
    </div>
  </dl>`
}

function coverageFigure(name: string, ratio: CoverageRatio): Markup {
  return html`<div>
    <dt>${name}</dt>
    <dd class="value">${ratioMarkup(ratio)}</dd>
    <dd>${ratio.numerator} of ${targetText(ratio)} children</dd>
  </div>`
}

function villagePlot({ villages, cutOffs }: DistrictFigures): Markup {
  const marks = villages.flatMap(markOf).sort((a, b) => a.first - b.first)
  return html`<figure>
    ${coveragePlot({
      id: 'coverage-plot',
      title: 'Coverage by village',
      description: marks
        .map(({ name, first, last }) => `${name}: ${first.toFixed(0)} %, then ${last.toFixed(0)} %`)
        .join('; '),
      marks,
      cutOff: cutOffs.coveragePercent,
    })}
  </figure>`
}

function markOf({ village, first, last }: VillageFigures): CoverageMark[] {
  if (first.percent === null || last.percent === null || first.denominator === null) return []
  const isFew = first.flags.includes('small-number')
  const interval = isFew ? wilsonInterval(first.numerator, first.denominator) : null
  return [{ name: village.name, first: first.percent, last: last.percent, interval }]
}
