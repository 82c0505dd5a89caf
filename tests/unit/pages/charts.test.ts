import { coverageBars } from '../../../src/http/pages/charts/coverage-bars.ts'
import { coveragePlot } from '../../../src/http/pages/charts/coverage-plot.ts'
import { doseLadder } from '../../../src/http/pages/charts/dose-ladder.ts'
import { monthChart } from '../../../src/http/pages/charts/month-chart.ts'
import { progressChart } from '../../../src/http/pages/charts/progress-chart.ts'
import { villageMap } from '../../../src/http/pages/charts/village-map.ts'

const text = { id: 'it', title: 'Coverage <here>', description: 'Quay & Ford' }
const place = (name: string, latitude: number, longitude: number) => ({
  name,
  latitude,
  longitude,
  category: 1 as const,
  children: 4,
})

const CHARTS = {
  coverageBars: coverageBars({
    ...text,
    cutOff: 80,
    bars: [{ name: 'Quay <b>', percent: 114, label: '114.0 %', isFew: false }],
  }),
  coveragePlot: coveragePlot({
    ...text,
    cutOff: 80,
    marks: [{ name: 'Quay <b>', first: 114, last: 40, interval: { low: 30, high: 90 } }],
  }),
  doseLadder: doseLadder({
    ...text,
    steps: [{ name: 'Quay <b>', children: 4, label: '4' }],
    target: null,
  }),
  monthChart: monthChart({ ...text, months: ['Jan'], first: [3], last: [2] }),
  progressChart: progressChart({
    ...text,
    months: ['Jan'],
    first: [3],
    last: [2],
    names: { first: 'PENTA 1', last: 'PENTA 3' },
    target: null,
  }),
  villageMap: villageMap({ ...text, places: [place('Quay <b>', 1, 1)] }),
}

describe.each(Object.entries(CHARTS))('%s', (_, { markup }) => {
  test('needs no inline style, class or script, which the pages forbid', () => {
    expect(markup).not.toMatch(/ style=|<style|<script| class="zr| on[a-z]+=|ecmeta/)
  })

  test('announces itself by title and description', () => {
    expect(markup).toMatch(/^<svg class="chart" role="img" aria-labelledby="it-title it-description"/)
    expect(markup).toContain('<title id="it-title">Coverage &lt;here&gt;</title>')
    expect(markup).toContain('<desc id="it-description">Quay &amp; Ford</desc>')
  })

  test('holds no name as markup', () => {
    expect(markup).not.toContain('<b>')
  })
})

/** Where the marks of a map stand, by the library's own transforms. */
function marksOf(markup: string): { x: number; y: number }[] {
  const [, width = '', height = ''] = /viewBox="0 0 ([\d.]+) ([\d.]+)"/.exec(markup) ?? []
  expect(Number(width) * Number(height)).toBeGreaterThan(0)
  return [...markup.matchAll(/transform="matrix\([^)]*,([\d.-]+),([\d.-]+)\)"/g)].map(([, x, y]) => ({
    x: Number(x),
    y: Number(y),
  }))
}

describe('villageMap', () => {
  test('puts north up, east right, and draws a kilometre as long in every direction', () => {
    // At 60° a degree of longitude is half as long as one of latitude.
    const places = [place('home', 60, 10), place('north', 60.1, 10), place('east', 60, 10.2)]
    const [home, north, east] = marksOf(villageMap({ ...text, places }).markup)
    if (home === undefined || north === undefined || east === undefined)
      throw new Error('three marks are drawn')

    expect(north.y).toBeLessThan(home.y)
    expect(east.x).toBeGreaterThan(home.x)
    expect((east.x - home.x) / (home.y - north.y)).toBeCloseTo(1, 2)
  })
})
