import { mustParseDay } from '../../../src/core/days/day.ts'
import { childTimeline } from '../../../src/core/schedule/child-timeline.ts'
import { scheduleChart } from '../../../src/core/schedule/schedule-chart.ts'
import { listDataFiles } from '../../../src/platform/data-files.ts'
import { childOf, scheduleWith, seriesOfA } from '../../support/a-schedule.ts'
import { shippedSchedule } from '../../support/schedules.ts'

function count(svg: string, pattern: RegExp): number {
  return [...svg.matchAll(pattern)].length
}

describe('the chart of a schedule', () => {
  test.each(listDataFiles('schedules'))(
    '%s: opens and closes every element, and holds only numbers for places',
    (id) => {
      const svg = scheduleChart(shippedSchedule(id))
      expect(count(svg, /<[a-z]/g)).toBe(count(svg, /<\/[a-z]/g))
      expect(svg).not.toMatch(/NaN|undefined|Infinity/)
    },
  )

  test('shows each dose of a child on time as a numbered disc', () => {
    const svg = scheduleChart(shippedSchedule('who-2025-preferred'))
    expect(count(svg, /<circle/g)).toBe(19)
    expect(svg).toContain('FIPV 2: due at 9 months, not before 7 months 8 days')
  })

  test('is announced by title and description', () => {
    const svg = scheduleChart(shippedSchedule('who-2025-preferred'))
    expect(svg).toContain(
      'role="img" aria-labelledby="schedule-who-2025-preferred-title schedule-who-2025-preferred-description"',
    )
    expect(svg).toContain('9 months: FIPV 2, MR 1')
  })

  test('shows what another authority says', () => {
    expect(scheduleChart(shippedSchedule('fractional-6-10-14-weeks'))).toContain(
      'WHO does not recommend fractional doses at 6 weeks',
    )
  })

  test('escapes what stands in the schedule', () => {
    const svg = scheduleChart(scheduleWith({ title: '<b> & "c"', series: [seriesOfA([{}])] }))
    expect(svg).toContain('&lt;b&gt; &amp; &quot;c&quot;')
    expect(svg).not.toContain('<b>')
  })
})

describe('the timeline of a child', () => {
  const child = childOf({
    born: '2025-12-31',
    asOf: '2026-06-01',
    given: ['BCG 2025-12-31', 'BOPV 2026-03-15', 'BOPV 2026-03-25', 'FIPV 2026-04-17'],
  })
  const svg = childTimeline(shippedSchedule('who-2025-preferred'), child, mustParseDay('2026-06-01'))

  test('shows doses that count as discs, others as crosses with the reason, next doses as diamonds', () => {
    expect(count(svg, /<circle/g)).toBe(3)
    expect(count(svg, /stroke="#d55e00" stroke-width="3"><\/path>/g)).toBe(1)
    expect(svg).toContain('BOPV on 2026-03-25 does not count as OPV 2: not before 2026-04-12')
    expect(count(svg, /Z" fill="#ffffff"/g)).toBe(7)
  })

  test('carries today and no name of the child', () => {
    expect(svg).toContain('Doses as of 2026-06-01, at the age of 21 weeks 5 days')
    expect(count(svg, /<[a-z]/g)).toBe(count(svg, /<\/[a-z]/g))
  })

  test('copes with a newborn without doses', () => {
    const born = mustParseDay('2026-01-01')
    expect(
      childTimeline(shippedSchedule('who-2025-preferred'), { birthOn: born, given: [] }, born),
    ).not.toMatch(/NaN|Infinity/)
  })
})
