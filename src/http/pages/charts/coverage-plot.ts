import type { CustomSeriesOption, EChartsOption, LineSeriesOption } from 'echarts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

/** One place: where its first and its last dose stand, in percent. */
export interface CoverageMark {
  readonly name: string
  readonly first: number
  readonly last: number
  /** Where the truth may lie when the children are few; `null` when they are not, or no interval exists. */
  readonly interval: { readonly low: number; readonly high: number } | null
}

export interface CoveragePlot extends ChartText {
  /** From the top. */
  readonly marks: readonly CoverageMark[]
  /** The coverage from which a place is well reached. */
  readonly cutOff: number
}

const WIDTH = 440
const ROW = 26
const TOP = 26
const BOTTOM = 26
const LABELS = 112
const STEP = 20

/** First and last dose of each place as two marks on one line: long lines are dropout, marks past 100 want a look at the target. */
export function coveragePlot({ marks, cutOff, ...text }: CoveragePlot): Markup {
  const highest = Math.max(
    100,
    ...marks.flatMap(({ first, last, interval }) => [first, last, interval?.high ?? 0]),
  )
  const names = marks.map(({ name }) => name)
  const option: EChartsOption = {
    grid: { left: LABELS, right: 18, top: TOP, bottom: BOTTOM },
    xAxis: {
      type: 'value',
      min: 0,
      max: Math.ceil((highest + 1) / STEP) * STEP,
      interval: STEP,
      axisLabel: { color: CHART_INK.faint, formatter: '{value}' },
      splitLine: { lineStyle: { color: CHART_INK.grid } },
    },
    yAxis: {
      type: 'category',
      inverse: true,
      data: names,
      axisTick: { show: false },
      axisLine: { show: false },
      axisLabel: { color: CHART_INK.text, fontSize: 13 },
    },
    series: [
      rules(cutOff),
      spans(
        marks.map(({ first, last }) => [first, last]),
        { stroke: CHART_INK.first, lineWidth: 2 },
      ),
      spans(
        marks.map(({ interval }) => (interval === null ? null : [interval.low, interval.high])),
        { stroke: CHART_INK.faint, lineWidth: 1, lineDash: [2, 3] },
      ),
      {
        type: 'scatter',
        silent: true,
        symbol: 'circle',
        symbolSize: 11,
        itemStyle: { color: CHART_INK.paper, borderColor: CHART_INK.first, borderWidth: 2, opacity: 1 },
        data: marks.map(({ first, name }) => [first, name]),
      },
      {
        type: 'scatter',
        silent: true,
        symbol: 'diamond',
        symbolSize: 12,
        itemStyle: { color: CHART_INK.last, opacity: 1 },
        data: marks.map(({ last, name }) => [last, name]),
      },
    ],
  }
  return drawChart({ ...text, width: WIDTH, height: TOP + BOTTOM + marks.length * ROW, option })
}

/** The cut-off and the full target, named at the top. */
function rules(cutOff: number): LineSeriesOption {
  return {
    type: 'line',
    silent: true,
    data: [],
    markLine: {
      silent: true,
      symbol: 'none',
      label: { position: 'start', color: CHART_INK.faint, fontSize: 12, formatter: '{b}' },
      data: [
        { name: `${cutOff} %`, xAxis: cutOff, lineStyle: { color: CHART_INK.faint, type: 'dashed' } },
        { name: 'target', xAxis: 100, lineStyle: { color: CHART_INK.text, type: 'solid' } },
      ],
    },
  }
}

type Span = readonly [number, number] | null

/** A line along each row from one value to another; none where there is nothing to span. */
function spans(values: readonly Span[], style: object): CustomSeriesOption {
  return {
    type: 'custom',
    silent: true,
    data: values.flatMap((span, row) => (span === null ? [] : [[span[0], row, span[1]]])),
    encode: { x: [0, 2], y: 1 },
    renderItem: (_, api) => {
      const [x1 = 0, y1 = 0] = api.coord([api.value(0), api.value(1)])
      const [x2 = 0] = api.coord([api.value(2), api.value(1)])
      return { type: 'line', shape: { x1, y1, x2, y2: y1 }, style: { fill: 'none', ...style } }
    },
  }
}
