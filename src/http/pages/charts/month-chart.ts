import type { EChartsOption } from 'echarts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

export interface MonthChart extends ChartText {
  readonly months: readonly string[]
  readonly first: readonly number[]
  readonly last: readonly number[]
}

/** Children by month: first doses as light bars, last doses as dark ones beside them. */
export function monthChart({ months, first, last, ...text }: MonthChart): Markup {
  const bar = (data: readonly number[], style: object) => ({
    type: 'bar' as const,
    silent: true,
    // No bar, rather than the outline of one.
    data: data.map((children) => (children === 0 ? null : children)),
    itemStyle: style,
    barGap: '10%',
    barCategoryGap: '30%',
  })
  const option: EChartsOption = {
    grid: { left: 32, right: 8, top: 10, bottom: 30 },
    xAxis: {
      type: 'category',
      data: [...months],
      axisTick: { show: false },
      axisLabel: { color: CHART_INK.faint, interval: 2 },
      axisLine: { lineStyle: { color: CHART_INK.text } },
    },
    yAxis: {
      type: 'value',
      min: 0,
      minInterval: 1,
      axisLabel: { color: CHART_INK.faint },
      splitLine: { lineStyle: { color: CHART_INK.grid } },
    },
    series: [
      bar(first, { color: CHART_INK.paper, borderColor: CHART_INK.first, borderWidth: 1.5 }),
      bar(last, { color: CHART_INK.last }),
    ],
  }
  return drawChart({ ...text, width: 480, height: 220, option })
}
