import { fridgeMonthChart } from '../../../src/core/cold-chain/fridge-month-chart.ts'
import type { Reading } from '../../../src/core/cold-chain/excursions.ts'
import { coldChainRules } from '../../support/shipped-data.ts'

const ZONE = 'Africa/Nairobi'
const month = {
  year: 2026,
  month: 3,
  zone: ZONE,
  words: { title: 'Kituo <A> & friji', tooCold: 'Too cold', tooWarm: 'Too warm' },
}
const reading = (text: string, celsius: number): Reading => ({
  at: new Date(`${text}+03:00`),
  celsius,
  by: 'hand',
})

const readings = [
  reading('2026-02-28T23:59', 20),
  reading('2026-03-01T08:00', 4),
  reading('2026-03-01T17:00', 1),
  reading('2026-03-02T08:00', 9),
  reading('2026-03-31T23:00', 10),
  reading('2026-04-01T00:00', 20),
]
const chart = fridgeMonthChart(readings, month, coldChainRules)
const count = (pattern: RegExp) => chart.match(pattern)?.length ?? 0

describe('fridgeMonthChart', () => {
  test('marks each reading outside the range by a shape of its own, in the month of the place only', () => {
    // One more of each stands in the legend.
    expect(count(/class="cold"/g)).toBe(1 + 1)
    expect(count(/class="warm"/g)).toBe(2 + 1)
    expect(
      new Set(
        chart.match(/class="(?:cold|warm)" d="M[\d.]+ [\d.]+(m[^"]+)"/g)?.map((each) => each.split('m-')[1]),
      ).size,
    ).toBe(2)
  })

  test('tells a screen reader what it shows, with the words escaped (SVG 2: title and desc)', () => {
    expect(chart).toContain('role="img"')
    expect(chart).toContain('<title>Kituo &#60;A&#62; &#38; friji</title>')
    expect(chart).toContain('<desc>Too cold: 1. Too warm: 2.</desc>')
    expect(chart).not.toContain('<A>')
  })

  test('is a whole number of elements: every tag is closed', () => {
    const opened = count(/<[a-z]+[^>]*[^/]>/g)

    expect(opened).toBe(count(/<\/[a-z]+>/g))
  })

  test('keeps every mark on the picture, also far outside the range', () => {
    const wild = fridgeMonthChart(
      [reading('2026-03-10T08:00', 45), reading('2026-03-11T08:00', -30)],
      month,
      coldChainRules,
    )
    const heights = [...wild.matchAll(/class="(?:cold|warm)" d="M[\d.]+ (-?[\d.]+)/g)].map((match) =>
      Number(match[1]),
    )

    expect(heights).toHaveLength(4)
    for (const height of heights) {
      expect(height).toBeGreaterThanOrEqual(0)
      expect(height).toBeLessThanOrEqual(280)
    }
  })

  test('draws an empty month', () => {
    expect(fridgeMonthChart([], month, coldChainRules)).toContain('Too cold: 0')
  })

  test('a month that does not exist is a bug', () => {
    expect(() => fridgeMonthChart([], { ...month, month: 13 }, coldChainRules)).toThrow(RangeError)
  })
})
