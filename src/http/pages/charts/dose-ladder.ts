import type { EChartsOption } from 'echarts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

/** One step: a dose and the children who had it. */
export interface LadderStep {
  readonly name: string
  readonly children: number
  /** On the bar: `231 · 89.1 %`. */
  readonly label: string
}

export interface DoseLadder extends ChartText {
  readonly steps: readonly LadderStep[]
  /** Children there are, by the target; `null` where none is stated. */
  readonly target: number | null
}

const WIDTH = 440
const ROW = 34
const TOP = 24

/** The doses of a series under each other, as long as the children who had them, up to the line of the target. */
export function doseLadder({ steps, target, ...text }: DoseLadder): Markup {
  const longest = Math.max(target ?? 0, ...steps.map(({ children }) => children), 1)
  const option: EChartsOption = {
    grid: { left: 76, right: 24, top: TOP, bottom: 6 },
    xAxis: { type: 'value', min: 0, max: longest, show: false },
    yAxis: {
      type: 'category',
      inverse: true,
      data: steps.map(({ name }) => name),
      axisTick: { show: false },
      axisLine: { lineStyle: { color: CHART_INK.text } },
      axisLabel: { color: CHART_INK.text, fontSize: 13 },
    },
    series: {
      type: 'bar',
      silent: true,
      barWidth: 22,
      itemStyle: { color: CHART_INK.first },
      data: steps.map(({ children, label }) => ({
        value: children,
        label: {
          show: true,
          position: 'insideRight',
          formatter: label,
          color: CHART_INK.paper,
          fontSize: 13,
        },
      })),
      ...(target === null ? {} : { markLine: targetLine(target) }),
    },
  }
  return drawChart({ ...text, width: WIDTH, height: TOP + steps.length * ROW + 6, option })
}

function targetLine(target: number) {
  return {
    silent: true,
    symbol: 'none',
    label: { position: 'start' as const, formatter: 'target', color: CHART_INK.faint, fontSize: 12 },
    lineStyle: { color: CHART_INK.text, type: 'solid' as const },
    data: [{ xAxis: target }],
  }
}
