import { BarChart, CustomChart, LineChart, ScatterChart } from 'echarts/charts'
import { GridComponent, MarkAreaComponent, MarkLineComponent } from 'echarts/components'
import { init, use } from 'echarts/core'
import type { EChartsOption } from 'echarts'
import { LabelLayout } from 'echarts/features'
import { SVGRenderer } from 'echarts/renderers'
import { html, trusted } from '../html.ts'
import type { Markup } from '../html.ts'

use([
  BarChart,
  CustomChart,
  LineChart,
  ScatterChart,
  GridComponent,
  MarkAreaComponent,
  MarkLineComponent,
  LabelLayout,
  SVGRenderer,
])

/** What every chart says of itself to those who do not see it. */
export interface ChartText {
  /** Unique in a page. */
  readonly id: string
  readonly title: string
  readonly description: string
}

export interface Chart extends ChartText {
  readonly width: number
  readonly height: number
  readonly option: EChartsOption
}

/** Draws a chart on the server, as SVG without scripts, style sheets or style attributes: the page forbids them. */
export function drawChart({ width, height, option, ...text }: Chart): Markup {
  const chart = init(null, null, { renderer: 'svg', ssr: true, width, height })
  try {
    chart.setOption({ animation: false, textStyle: { fontFamily: 'inherit', fontSize: 13 }, ...option })
    return described(text, chart.renderToSVGString({ useViewBox: true }))
  } finally {
    chart.dispose()
  }
}

/** Puts the words in front of the drawing; the library's opening tag brings size and view box. */
function described({ id, title, description }: ChartText, svg: string): Markup {
  const words = html`<title id="${id}-title">${title}</title>
    <desc id="${id}-description">${description}</desc>`
  const announced = `<svg class="chart" role="img" aria-labelledby="${id}-title ${id}-description"`
  const end = svg.indexOf('>') + 1
  return trusted(svg.slice(0, end).replace('<svg', announced) + words.markup + withoutStyles(svg.slice(end)))
}

/** Hover rules and notes for scripts go; what a style attribute says becomes attributes of their own. */
function withoutStyles(svg: string): string {
  return svg
    .replace(/<style[\s\S]*?<\/style>/g, '')
    .replace(/ (?:class|ecmeta_\w+)="[^"]*"/g, '')
    .replace(/ style="([^"]*)"/g, (_, style: string) =>
      style
        .split(';')
        .filter((rule) => rule !== '')
        .map((rule) => ` ${rule.replace(':', '="')}"`)
        .join(''),
    )
}
