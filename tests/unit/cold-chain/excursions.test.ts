import { brokenRule, parseColdChainRules } from '../../../src/core/cold-chain/cold-chain-rules.ts'
import { adviseOn, excursions } from '../../../src/core/cold-chain/excursions.ts'
import type { Reading } from '../../../src/core/cold-chain/excursions.ts'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { coldChainRules, product, vialPolicy } from '../../support/shipped-data.ts'

const policy = vialPolicy('who-2014')
const advise = (celsius: number, code: string, by = policy) =>
  adviseOn(celsius, product(code), by, coldChainRules)

describe('the safe range', () => {
  test('is 2 to 8 °C, both included (WHO, secondary; common practice)', () => {
    expect(coldChainRules.safe).toEqual({ fromC: 2, toC: 8 })
    expect([2, 8].map((celsius) => brokenRule(celsius, coldChainRules))).toEqual([undefined, undefined])
    expect([1.9, 8.1].map((celsius) => brokenRule(celsius, coldChainRules)?.code)).toEqual([
      'too-cold',
      'too-warm',
    ])
  })
})

describe('adviseOn', () => {
  test('below 2 °C a freeze-sensitive vaccine stops and the supervisor is asked', () => {
    expect(advise(1.5, 'ipv-5')).toEqual({
      code: 'too-cold',
      advice: 'ask-supervisor',
      shakeTest: false,
      sentence: 'cold-ask-supervisor',
    })
  })

  test('an adsorbed vaccine may be shake-tested where policy says so (Kartoglu et al., Bull WHO 2010)', () => {
    expect(advise(1.5, 'penta-10')).toMatchObject({ advice: 'ask-supervisor', shakeTest: true })
    expect(advise(-2, 'penta-10')).toMatchObject({ code: 'frost', advice: 'ask-supervisor', shakeTest: true })
  })

  test('where policy has no shake test, frost means discard', () => {
    const strict = { ...policy, shakeTest: false }

    expect(advise(-2, 'penta-10', strict)).toMatchObject({ advice: 'discard', shakeTest: false })
    expect(advise(1.5, 'penta-10', strict)).toMatchObject({ advice: 'ask-supervisor', shakeTest: false })
  })

  test('IPV suspected of having been frozen is discarded (common practice, no source)', () => {
    expect(advise(0, 'ipv-10')).toMatchObject({ code: 'frost', advice: 'discard', shakeTest: false })
  })

  test('cold does not harm oral polio and dry vaccines', () => {
    expect(advise(-10, 'bopv-10')).toBeUndefined()
    expect(advise(-10, 'mr-10')).toBeUndefined()
  })

  test('above 8 °C the monitor of every vaccine is looked at', () => {
    for (const code of ['bopv-10', 'mr-10', 'ipv-5', 'penta-10'])
      expect(advise(8.5, code)).toMatchObject({ code: 'too-warm', advice: 'check-monitor' })
  })

  test('in the safe range there is nothing to do', () => {
    expect(advise(5, 'ipv-5')).toBeUndefined()
  })
})

describe('excursions', () => {
  const at = (minutes: number) => new Date(Date.UTC(2026, 2, 1) + minutes * 60_000)
  const logger = (...points: [number, number][]): Reading[] =>
    points.map(([minutes, celsius]) => ({ at: at(minutes), celsius, by: 'logger' }))

  test('joins readings on one side into one excursion, named by its worst', () => {
    const readings = logger([0, 5], [60, 1.8], [120, -0.5], [180, 1], [240, 4])

    expect(excursions(readings, coldChainRules)).toEqual([
      { code: 'frost', worstC: -0.5, fromAt: at(60), untilAt: at(180), readings: 3 },
    ])
  })

  test('a logger’s heat counts after 10 hours, its cold after one (WHO PQS logger settings, from memory)', () => {
    expect(excursions(logger([0, 9], [599, 9]), coldChainRules)).toEqual([])
    expect(excursions(logger([0, 9], [600, 9]), coldChainRules)).toHaveLength(1)
    expect(excursions(logger([0, 1], [59, 1]), coldChainRules)).toEqual([])
    expect(excursions(logger([0, 1], [60, 1]), coldChainRules)).toHaveLength(1)
  })

  test('a reading by hand counts at once', () => {
    expect(excursions([{ at: at(0), celsius: 9, by: 'hand' }], coldChainRules)).toHaveLength(1)
  })

  test('cold right after heat is a second excursion', () => {
    const readings: Reading[] = [9, 1].map((celsius, hour) => ({ at: at(hour * 60), celsius, by: 'hand' }))

    expect(excursions(readings, coldChainRules).map(({ code }) => code)).toEqual(['too-warm', 'too-cold'])
  })

  test('does not depend on the order of the readings', () => {
    const readings = logger([0, 5], [60, 1.8], [120, -0.5], [180, 1], [240, 4], [300, 9], [1000, 10])

    expect(excursions([...readings].reverse(), coldChainRules)).toEqual(excursions(readings, coldChainRules))
  })
})

test('parseColdChainRules refuses a rule with two bounds', () => {
  const shipped = readDataFile('cold-chain/rules.json') as { excursions: object[] }
  const checked = parseColdChainRules({ ...shipped, excursions: [{ ...shipped.excursions[0], belowC: 1 }] })

  expect(checked).toEqual({
    kind: 'invalid',
    problems: ['excursions.0: needs exactly one of atMostC, belowC, aboveC'],
  })
})
