import { districtFigures, rowOf } from '../../app/pages/district-figures.ts'
import type { DistrictFigures, PlaceFigures, VillageFigures } from '../../app/pages/district-figures.ts'
import { countMissed } from '../../app/pages/follow-lists.ts'
import { wilsonInterval } from '../../core/coverage/coverage-ratio.ts'
import type { CoverageRatio } from '../../core/coverage/coverage-ratio.ts'
import { ALL_VILLAGES } from '../../core/coverage/coverage-rows.ts'
import type { Unreached } from '../../core/coverage/reach.ts'
import { coveragePlot } from './charts/coverage-plot.ts'
import type { CoverageMark } from './charts/coverage-plot.ts'
import { doseLadder } from './charts/dose-ladder.ts'
import { choiceFields, choiceOf, choiceWords } from './choices.ts'
import { figureDoubts } from './doubts.ts'
import { html, SCROLLING } from './html.ts'
import type { Markup } from './html.ts'
import { KINDS, kindMarkup } from './kinds.ts'
import { pathIn, villageLink } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import type { Visit } from './visit.ts'
import { doseName, dropoutCount, dropoutText, ratioMarkup, targetText } from './words.ts'

/** The district at a glance: who is reached, who drops out, where. */
export async function overviewPage({ scope, query }: Visit): Promise<DistrictPage> {
  const choice = choiceOf(query)
  const figures = await districtFigures(scope, choice)
  const missed = await countMissed(scope)
  const body = html`<h1>${scope.district.name}</h1>
    <p class="about">${choiceWords(scope, choice)}</p>
    <form class="choices" method="get">${choiceFields(scope, choice)}<button>Show</button></form>
    ${keyFigures(figures, { missed, listPath: pathIn(scope.district.id, '/lists/missed') })}
    <div class="side-by-side">
      <section>
        <h2>Coverage by village</h2>
        ${villagePlot(figures)} ${figureDoubts(figures)}
      </section>
      <section>
        <h2>Who begins, who finishes</h2>
        ${ladder(figures)}
        <h2>Kinds of problem</h2>
        ${kinds(figures)}
      </section>
    </div>`
  return { title: 'Overview', way: 'Overview', body }
}

interface Missed {
  readonly missed: number
  readonly listPath: string
}

function keyFigures({ whole, villages, ladder }: DistrictFigures, { missed, listPath }: Missed): Markup {
  return html`<dl class="figures">
    ${coverageFigure(`Reached: ${doseName(ladder.first)}`, whole.first)}
    ${coverageFigure(`Completed: ${doseName(ladder.last)}`, whole.last)}
    <div>
      <dt>Dropout</dt>
      <dd class="value">${dropoutText(whole.dropout)}</dd>
      <dd>${dropoutCount(whole.dropout)}</dd>
    </div>
    ${unreachedFigure('Zero-dose', villages, ({ zeroDose }) => zeroDose)}
    ${unreachedFigure('Under-vaccinated', villages, ({ underVaccinated }) => underVaccinated)}
    <div>
      <dt>To be found now</dt>
      <dd class="value"><a href="${listPath}">${missed}</a></dd>
      <dd>missed the last visit</dd>
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

/** Summed village by village: more doses than children in one village reach nobody in another. */
function unreachedFigure(
  name: string,
  villages: readonly VillageFigures[],
  of: (figures: PlaceFigures) => Unreached | null,
): Markup {
  const known = villages.map(of).filter((unreached) => unreached !== null)
  const children = known.reduce((sum, unreached) => sum + unreached.children, 0)
  const without = villages.length - known.length
  return html`<div>
    <dt>${name}</dt>
    <dd class="value">${known.length === 0 ? '–' : Math.round(children)}</dd>
    <dd>${without === 0 ? 'children, by the target' : `children; ${without} villages lack a target`}</dd>
  </div>`
}

function villagePlot({ villages, cutOffs, ladder }: DistrictFigures): Markup {
  const marks = villages.flatMap(markOf).sort((a, b) => a.first - b.first)
  if (marks.length === 0) return html`<p>No village has a target, so there is no coverage to show.</p>`
  const [first, last] = [doseName(ladder.first), doseName(ladder.last)]
  const about = marks.map((mark) => `${mark.name} ${mark.first.toFixed(0)}, then ${mark.last.toFixed(0)}`)
  return html`<figure>
    ${coveragePlot({
      id: 'coverage-plot',
      title: `Coverage with ${first} and ${last} by village, in percent of the target`,
      description: about.join('; '),
      marks,
      cutOff: cutOffs.coveragePercent,
    })}
    <figcaption>
      <span class="mark-first">○</span> ${first} <span class="mark-last">◆</span> ${last}, percent of the
      target, least reached first. Dots: where the truth may lie when the children are few.
    </figcaption>
  </figure>`
}

function markOf({ village, first, last }: VillageFigures): CoverageMark[] {
  if (first.percent === null || last.percent === null || first.denominator === null) return []
  const isFew = first.flags.includes('small-number')
  const interval = isFew ? wilsonInterval(first.numerator, first.denominator) : null
  return [{ name: village.name, first: first.percent, last: last.percent, interval }]
}

function ladder({ report, ladder, whole }: DistrictFigures): Markup {
  const steps = ladder.steps.map((dose) => {
    const row = rowOf(report.rows, { village: ALL_VILLAGES, series: dose.series, dose: dose.dose })
    const percent = row.percent === null ? '' : ` · ${row.percent.toFixed(1)} %`
    return { name: doseName(dose), children: row.numerator, label: `${row.numerator}${percent}` }
  })
  return html`<figure>
    ${doseLadder({
      id: 'dose-ladder',
      title: 'Children of the district by dose',
      description: steps.map(({ name, label }) => `${name}: ${label}`).join('; '),
      steps,
      target: whole.first.denominator,
    })}
  </figure>`
}

function kinds({ villages, cutOffs }: DistrictFigures): Markup {
  const { coveragePercent, dropoutPercent } = cutOffs
  return html`<div ${SCROLLING}>
    <table>
      <caption>
        Good is ${coveragePercent} % and more reached, and under ${dropoutPercent} % dropout.
      </caption>
      <thead>
        <tr>
          <th scope="col">Kind</th>
          <th scope="col">Villages</th>
        </tr>
      </thead>
      <tbody>
        ${KINDS.map(({ category, problem, advice }) => {
          const own = villages.filter(({ priority }) => priority?.category === category)
          return html`<tr>
            <th scope="row">
              ${kindMarkup({ category, problem, doubts: [] })}<br /><span class="about">${advice}</span>
            </th>
            <td>
              ${own.length === 0 ? '–' : own.map(({ village }, place) => html`${place === 0 ? '' : ', '}${villageLink(village)}`)}
            </td>
          </tr>`
        })}
      </tbody>
    </table>
  </div>`
}
