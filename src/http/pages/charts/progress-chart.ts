import type { EChartsOption } from 'echarts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

export interface ProgressChart extends ChartText {
  readonly months: readonly string[]
  /** Running totals of the months so far. */
  readonly first: readonly number[]
  readonly last: readonly number[]
  /** Names at the end of the lines. */
  readonly names: { readonly first: string; readonly last: string }
  readonly target: readonly number[] | null
}

const WIDTH = 640
const HEIGHT = 380

/** Children reached so far in a year against the straight line of the target; the gap between the lines is dropout. */
export function progressChart({ months, first, last, names, target, ...text }: ProgressChart): Markup {
  const line = (
    name: string,
    data: readonly number[],
    look: { readonly color: string; readonly symbol: string; readonly isDashed?: boolean },
  ) => ({
    type: 'line' as const,
    name,
    silent: true,
    data: [...data],
    symbol: look.symbol,
    symbolSize: 8,
    lineStyle: {
      color: look.color,
      width: 2,
      type: look.isDashed === true ? ('dashed' as const) : ('solid' as const),
    },
    itemStyle: { color: look.color },
    endLabel: { show: true, formatter: name, color: look.color, fontSize: 13 },
    labelLayout: { moveOverlap: 'shiftY' as const },
  })
  const option: EChartsOption = {
    grid: { left: 52, right: 92, top: 16, bottom: 34 },
    xAxis: {
      type: 'category',
      data: [...months],
      boundaryGap: false,
      axisLabel: { color: CHART_INK.faint },
      axisLine: { lineStyle: { color: CHART_INK.text } },
    },
    yAxis: {
      type: 'value',
      min: 0,
      axisLabel: { color: CHART_INK.faint },
      splitLine: { lineStyle: { color: CHART_INK.grid } },
    },
    series: [
      ...(target === null
        ? []
        : [line('target', target, { color: CHART_INK.faint, symbol: 'none', isDashed: true })]),
      line(names.first, first, { color: CHART_INK.first, symbol: 'circle' }),
      line(names.last, last, { color: CHART_INK.last, symbol: 'diamond' }),
    ],
  }
  return drawChart({ ...text, width: WIDTH, height: HEIGHT, option })
}
