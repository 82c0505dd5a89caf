import { mustParseDay } from '../../../src/core/days/day.ts'
import { cautionsFor } from '../../../src/core/reactions/cautions.ts'
import { pastReactionFlag } from '../../../src/core/reactions/past-reaction.ts'
import type { PastReaction } from '../../../src/core/reactions/past-reaction.ts'
import { cautions } from '../../support/shipped-data.ts'

const reaction = (day: string, isSerious: boolean, vaccines: string[]): PastReaction => ({
  reactionOn: mustParseDay(day),
  isSerious,
  signs: [],
  vaccines,
})

describe('pastReactionFlag', () => {
  const mild = reaction('2026-02-01', false, ['PENTA', 'BOPV'])
  const serious = reaction('2026-01-01', true, ['BCG'])

  test('a serious reaction warns before any next dose, since its cause is not ours to say', () => {
    expect(pastReactionFlag([serious], ['MR'])).toEqual({ reaction: serious, sameVaccines: [] })
  })

  test('another reaction warns when the same vaccine comes again', () => {
    expect(pastReactionFlag([mild], ['PENTA', 'PCV'])).toEqual({ reaction: mild, sameVaccines: ['PENTA'] })
    expect(pastReactionFlag([mild], ['MR'])).toBeUndefined()
  })

  test('shows the gravest, and of equals the latest', () => {
    const laterMild = reaction('2026-03-01', false, ['PENTA'])

    expect(pastReactionFlag([mild, laterMild, serious], ['PENTA'])?.reaction).toBe(serious)
    expect(pastReactionFlag([mild, laterMild], ['PENTA'])?.reaction).toBe(laterMild)
  })

  test('no reaction, no flag', () => {
    expect(pastReactionFlag([], ['PENTA'])).toBeUndefined()
  })
})

describe('cautionsFor (SCH-07: a lookup by vaccine; WHO position papers, from memory)', () => {
  test('asks about a severe allergy before every vaccine, known or not', () => {
    expect(cautionsFor('PCV', cautions)).toEqual(['severe-allergy-before', 'severely-ill-today'])
    expect(cautionsFor('NOSUCH', cautions)).toContain('severe-allergy-before')
  })

  test('asks about bowel blockage before rotavirus, and about age and egg before yellow fever', () => {
    expect(cautionsFor('ROTA', cautions)).toContain('bowel-blockage-before')
    expect(cautionsFor('YF', cautions)).toEqual(
      expect.arrayContaining(['under-6-months', 'severe-egg-allergy']),
    )
  })

  test('mild illness is no reason to wait (WHO Table 2, December 2025, measles footnote)', () => {
    expect(cautions.noReasonToWait).toContain('mild-illness')
  })
})
