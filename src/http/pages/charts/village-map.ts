import type { EChartsOption } from 'echarts'
import type { Priority } from '../../../core/coverage/priority.ts'
import type { Markup } from '../html.ts'
import { drawChart } from './draw-chart.ts'
import type { ChartText } from './draw-chart.ts'
import { CHART_INK } from './ink.ts'

/** A village on the map. */
export interface MapPlace {
  readonly name: string
  readonly latitude: number
  readonly longitude: number
  readonly category: Priority['category'] | null
  /** Children the size of the mark stands for. */
  readonly children: number
}

export interface VillageMap extends ChartText {
  readonly places: readonly MapPlace[]
}

const WIDTH = 480
const MARGIN = 40
const TALLEST = 1.2
const KM_PER_DEGREE = 111.2

/** Each kind of problem has a shape of its own, so that colour is never needed. */
const SHAPES = {
  1: { symbol: 'circle', color: CHART_INK.paper, borderColor: CHART_INK.last },
  2: { symbol: 'triangle', color: CHART_INK.first, borderColor: CHART_INK.last },
  3: { symbol: 'rect', color: CHART_INK.paper, borderColor: CHART_INK.warning },
  4: { symbol: 'diamond', color: CHART_INK.warning, borderColor: CHART_INK.last },
} as const
const UNKNOWN = { symbol: 'circle', color: CHART_INK.grid, borderColor: CHART_INK.faint } as const

/** Villages where they lie, north up, without any background from elsewhere; distances are true near the middle. */
export function villageMap({ places, ...text }: VillageMap): Markup {
  const frame = frameOf(places)
  const most = Math.max(1, ...places.map(({ children }) => children))
  const option: EChartsOption = {
    grid: { left: MARGIN, right: MARGIN, top: MARGIN, bottom: MARGIN },
    xAxis: { type: 'value', min: frame.west, max: frame.east, show: false },
    yAxis: { type: 'value', min: frame.south, max: frame.north, show: false },
    series: [
      {
        type: 'scatter',
        silent: true,
        data: places.map(({ name, latitude, longitude, category, children }) => {
          const { symbol, color, borderColor } = category === null ? UNKNOWN : SHAPES[category]
          return {
            name,
            value: [longitude * frame.shrink, latitude],
            symbol,
            symbolSize: 11 + 17 * Math.sqrt(children / most),
            itemStyle: { color, borderColor, borderWidth: 2, opacity: 1 },
          }
        }),
        label: {
          show: true,
          position: 'right',
          distance: 6,
          formatter: '{b}',
          color: CHART_INK.text,
          fontSize: 13,
        },
        labelLayout: { moveOverlap: 'shiftY' },
      },
      scaleBar(frame),
    ],
  }
  return drawChart({ ...text, width: WIDTH, height: frame.height, option })
}

interface Frame {
  readonly west: number
  readonly east: number
  readonly south: number
  readonly north: number
  /** How much a degree of longitude is shorter than one of latitude here. */
  readonly shrink: number
  readonly height: number
  /** Length of the scale bar in kilometres. */
  readonly scaleKm: number
}

/** A frame around all places in which a kilometre is as long in every direction. */
function frameOf(places: readonly MapPlace[]): Frame {
  const latitudes = places.map(({ latitude }) => latitude)
  const [south, north] = [Math.min(...latitudes), Math.max(...latitudes)]
  const shrink = Math.cos((((south + north) / 2) * Math.PI) / 180)
  const across = places.map(({ longitude }) => longitude * shrink)
  const [west, east] = [Math.min(...across), Math.max(...across)]
  const least = 0.02
  const width = Math.max(east - west, (north - south) / TALLEST, least)
  const height = Math.max(north - south, least)
  const inner = WIDTH - 2 * MARGIN
  const centre = (west + east) / 2
  return {
    west: centre - width / 2,
    east: centre + width / 2,
    south: (south + north - height) / 2,
    north: (south + north + height) / 2,
    shrink,
    height: 2 * MARGIN + (inner * height) / width,
    scaleKm: roundKm((width * KM_PER_DEGREE) / 5),
  }
}

/** 1, 2 or 5 times a power of ten, at most as long as asked. */
function roundKm(km: number): number {
  const power = 10 ** Math.floor(Math.log10(km))
  const lead = km / power
  return power * (lead >= 5 ? 5 : lead >= 2 ? 2 : 1)
}

function scaleBar({ west, south, scaleKm }: Frame) {
  const end = west + scaleKm / KM_PER_DEGREE
  return {
    type: 'line' as const,
    silent: true,
    symbol: 'rect',
    symbolSize: [1, 8],
    lineStyle: { color: CHART_INK.text, width: 1.5 },
    itemStyle: { color: CHART_INK.text },
    clip: false,
    data: [
      [west, south],
      [end, south],
    ],
    endLabel: { show: true, formatter: `${scaleKm} km`, color: CHART_INK.faint, fontSize: 12 },
  }
}
