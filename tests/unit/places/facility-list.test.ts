import { compareFacilities } from '../../../src/core/places/facility-list.ts'
import type { KnownPost, ListedFacility } from '../../../src/core/places/facility-list.ts'
import { postGaps } from '../../../src/core/places/post-gaps.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'

const ford: KnownPost = { id: 'p1', name: 'Ford', nationalId: 'F-1' }
const mill: KnownPost = { id: 'p2', name: 'Mill', nationalId: null }
const listed = (nationalId: string, name: string): ListedFacility => ({ nationalId, name })

describe('a national list of facilities against the posts', () => {
  test('says nothing of a post that has its number and its name', () => {
    expect(compareFacilities([listed('F-1', 'Ford')], [ford])).toEqual({ differences: [], odd: [] })
  })

  test('tells what is new, renamed, of the same name, and not listed', () => {
    const gone: KnownPost = { id: 'p3', name: 'Old Bridge', nationalId: 'F-9' }
    const list = [listed('F-1', 'Lower Ford'), listed('F-2', 'Mill'), listed('F-3', 'Hill End')]

    expect(compareFacilities(list, [ford, mill, gone]).differences).toEqual([
      { kind: 'renamed', nationalId: 'F-1', name: 'Lower Ford', postId: 'p1' },
      { kind: 'same-name', nationalId: 'F-2', name: 'Mill', postId: 'p2' },
      { kind: 'new', nationalId: 'F-3', name: 'Hill End', postId: null },
      { kind: 'not-listed', nationalId: 'F-9', name: null, postId: 'p3' },
    ])
  })

  test('takes no number that stands for two names, and does not call its post gone', () => {
    const list = [listed('F-1', 'Ford'), listed('F-1', 'Another Ford')]

    expect(compareFacilities(list, [ford])).toEqual({ differences: [], odd: ['F-1'] })
  })
})

describe('what the record of a post lacks', () => {
  const whole = { nationalId: 'F-1', untilOn: null, hasSessionDays: true, villages: 2, vaccinators: 1 }
  const today = mustParseDay('2026-03-04')

  test.each([
    [{}, []],
    [{ nationalId: null }, ['national-id']],
    [{ hasSessionDays: false, villages: 0 }, ['session-days', 'villages']],
    [{ vaccinators: 0 }, ['vaccinator']],
    [{ untilOn: mustParseDay('2026-03-04') }, []],
    [{ untilOn: mustParseDay('2026-03-03') }, ['time-is-over']],
  ])('%j lacks %j', (change, gaps) => {
    expect(postGaps({ ...whole, ...change }, today)).toEqual(gaps)
  })
})
