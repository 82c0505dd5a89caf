import { reportLine } from '../../../src/core/reactions/line-list.ts'
import { coreVariables } from '../../support/shipped-data.ts'

describe('the core variables (WHO GACVS, December 2015: summary page)', () => {
  test('are 25, of which 13 are critical', () => {
    expect(new Set(coreVariables.map(({ code }) => code)).size).toBe(25)
    expect(coreVariables.filter(({ isCritical }) => isCritical)).toHaveLength(13)
  })
})

describe('reportLine', () => {
  test('lists all 25 and marks what is missing of the 13', () => {
    const line = reportLine({ child: '4821 7739', lot: 'L4471B', signs: 'fits', sex: ' ' }, coreVariables)

    expect(line.cells).toHaveLength(25)
    expect(line.cells.filter((cell) => cell !== null)).toEqual(['4821 7739', 'L4471B', 'fits'])
    expect(line.missing).toHaveLength(22)
    expect(line.missingCritical).toHaveLength(10)
    expect(line.missingCritical).toContain('sex')
    expect(line.missingCritical).not.toContain('lot')
  })

  test('a full report misses nothing', () => {
    const facts = Object.fromEntries(coreVariables.map(({ code }) => [code, 'x']))

    expect(reportLine(facts, coreVariables)).toEqual({
      cells: Array.from({ length: 25 }, () => 'x'),
      missing: [],
      missingCritical: [],
    })
  })
})
