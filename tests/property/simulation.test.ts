/** The invariants of a district that is only played. */
import fc from 'fast-check'
import { forecast } from '../../src/core/schedule/forecast.ts'
import { inventChild } from '../../src/core/simulation/invent-child.ts'
import { liveChild } from '../../src/core/simulation/live-child.ts'
import { openTextPlanner } from '../../src/core/simulation/plan-texts.ts'
import { districtOf, runSimulation } from '../../src/main/run-simulation.ts'
import type { SimulationOptions } from '../../src/main/run-simulation.ts'
import { aPolicy } from '../support/default-policy.ts'

const OPTIONS: SimulationOptions = {
  children: 60,
  months: 24,
  seed: 1,
  start: '2026-01-01',
  schedule: 'who-2025-preferred',
  policy: ['default'],
  price: 0.05,
  format: 'json',
  read: () => {
    throw new Error('no file is read')
  },
}

function figures(options: SimulationOptions): ReadonlyMap<string, Record<string, unknown>> {
  const rows = runSimulation(options).lines.map((line) => JSON.parse(line) as Record<string, unknown>)
  return new Map(rows.map((row) => [String(row['name']), row]))
}

const seeds = fc.integer({ min: 0, max: 1_000_000 })

test('the same seed plays the same district, another seed another one', () => {
  fc.assert(
    fc.property(seeds, (seed) => {
      const played = runSimulation({ ...OPTIONS, seed }).lines
      expect(runSimulation({ ...OPTIONS, seed }).lines).toEqual(played)
      expect(runSimulation({ ...OPTIONS, seed: seed + 1 }).lines).not.toEqual(played)
    }),
    { numRuns: 5 },
  )
})

test('every child is counted, under each policy the same ones', () => {
  fc.assert(
    fc.property(seeds, fc.integer({ min: 1, max: 60 }), (seed, children) => {
      const rows = figures({ ...OPTIONS, seed, children })
      expect(rows.get('children born')).toMatchObject({ 'no texts': children, default: children })
      const left = rows.get('left the district')
      expect(left?.['no texts']).toBe(left?.['default'])
      expect(Number(left?.['default'])).toBeLessThanOrEqual(children)
    }),
    { numRuns: 20 },
  )
})

test('no dose is given before its earliest day, after the child left, or outside the days that are played', () => {
  const planner = openTextPlanner(aPolicy(), OPTIONS.schedule)
  fc.assert(
    fc.property(seeds, fc.nat({ max: 5000 }), (seed, place) => {
      const district = districtOf({ ...OPTIONS, seed })
      const child = inventChild(district, place)
      const { card } = liveChild(district, child, planner)
      const { given } = forecast(
        district.schedule,
        { birthOn: child.birthOn, sex: child.sex, given: card },
        district.endOn,
      )
      expect(
        given
          .flatMap(({ counts }) => counts.map(({ reason }) => reason))
          .filter((why) => why === 'too-young' || why === 'too-soon'),
      ).toEqual([])
      for (const { on } of card) {
        expect(on).toBeGreaterThanOrEqual(child.birthOn)
        expect(on).toBeLessThanOrEqual(district.endOn)
        if (child.leavesOn !== null) expect(on).toBeLessThan(child.leavesOn)
      }
    }),
    { numRuns: 300 },
  )
})

test('nobody is texted where there are no texts, and reminding brings more children to the end', () => {
  const rows = figures({ ...OPTIONS, children: 800 })
  expect(rows.get('texts to families')).toMatchObject({ 'no texts': 0 })
  const full = rows.get('every dose of the first year')
  expect(Number(full?.['default'])).toBeGreaterThan(Number(full?.['no texts']))
})
