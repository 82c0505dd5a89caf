import type { EChartsOption } from 'echarts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

export interface CoverageBar {
  readonly name: string
  readonly percent: number
  /** At the end of the bar: `89.1 %`, or `7/9` of few children. */
  readonly label: string
  /** Too few children for a percentage; drawn hollow. */
  readonly isFew: boolean
}

export interface CoverageBars extends ChartText {
  /** From the top. */
  readonly bars: readonly CoverageBar[]
  readonly cutOff: number
}

const WIDTH = 520
const ROW = 25
const TOP = 24
const BOTTOM = 26
const STEP = 20

/** One bar a place, as long as its coverage; bars may pass the target, and those of few children are hollow. */
export function coverageBars({ bars, cutOff, ...text }: CoverageBars): Markup {
  const highest = Math.max(100, ...bars.map(({ percent }) => percent))
  const option: EChartsOption = {
    grid: { left: 112, right: 56, top: TOP, bottom: BOTTOM },
    xAxis: {
      type: 'value',
      min: 0,
      max: Math.ceil(highest / STEP) * STEP,
      interval: STEP,
      axisLabel: { color: CHART_INK.faint },
      splitLine: { lineStyle: { color: CHART_INK.grid } },
    },
    yAxis: {
      type: 'category',
      inverse: true,
      data: bars.map(({ name }) => name),
      axisTick: { show: false },
      axisLine: { lineStyle: { color: CHART_INK.text } },
      axisLabel: { color: CHART_INK.text, fontSize: 13 },
    },
    series: {
      type: 'bar',
      silent: true,
      barWidth: 15,
      data: bars.map(({ percent, label, isFew }) => ({
        value: percent,
        itemStyle: isFew
          ? {
              color: CHART_INK.paper,
              borderColor: CHART_INK.first,
              borderWidth: 1.5,
              borderType: 'dashed' as const,
            }
          : { color: CHART_INK.first },
        label: {
          show: true,
          position: 'right' as const,
          formatter: label,
          backgroundColor: CHART_INK.page,
          color: CHART_INK.text,
          fontSize: 12,
        },
      })),
      markLine: {
        silent: true,
        symbol: 'none',
        label: { position: 'start', color: CHART_INK.faint, fontSize: 12, formatter: '{b}' },
        data: [
          { name: `${cutOff} %`, xAxis: cutOff, lineStyle: { color: CHART_INK.faint, type: 'dashed' } },
          { name: 'target', xAxis: 100, lineStyle: { color: CHART_INK.text, type: 'solid' } },
        ],
      },
    },
  }
  return drawChart({ ...text, width: WIDTH, height: TOP + BOTTOM + bars.length * ROW, option })
}
