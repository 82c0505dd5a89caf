import { mustParseDay } from '../../../src/core/days/day.ts'
import { assessReaction } from '../../../src/core/reactions/assess-reaction.ts'
import type { ReactionReport } from '../../../src/core/reactions/assess-reaction.ts'
import { signCatalogue } from '../../support/shipped-data.ts'

const on = mustParseDay

function assess(change: Partial<ReactionReport>) {
  const report: ReactionReport = {
    words: '',
    signs: [],
    outcomes: [],
    reactionOn: on('2026-03-02'),
    reportedOn: on('2026-03-03'),
    doses: [{ vaccine: 'PENTA', on: on('2026-03-01') }],
    ...change,
  }
  return assessReaction(report, signCatalogue)
}

describe('assessReaction', () => {
  test('fits in free text are serious, go to a person at once, and name no cause', () => {
    expect(assess({ words: 'high fever and a fit last night' })).toEqual({
      kind: 'assessed',
      isSerious: true,
      route: 'at-once',
      signs: [
        { code: 'convulsion', isWithinWindow: true },
        { code: 'high-fever', isWithinWindow: true },
        { code: 'fever', isWithinWindow: null },
      ],
      because: [
        { kind: 'sign', sign: 'convulsion', weight: 'serious' },
        { kind: 'sign', sign: 'high-fever', weight: 'notable' },
        { kind: 'sign', sign: 'fever', weight: 'ordinary' },
      ],
      doses: [{ vaccine: 'PENTA', on: on('2026-03-01') }],
    })
  })

  test.each([
    ['mild fever', 'line-list', false],
    ['pus on the arm', 'today', false],
    ['mild fever and pus', 'today', false],
    ['strange', 'today', false],
    ['', 'today', false],
    ['died', 'at-once', true],
  ])('"%s" goes to: %s', (words, route, isSerious) => {
    expect(assess({ words })).toMatchObject({ route, isSerious })
  })

  test('words that nobody could read are given to a person, not filed', () => {
    expect(assess({ words: 'xyz' }).because).toEqual([{ kind: 'nothing-recognised' }])
  })

  test('signs picked from a menu count like words, and once', () => {
    expect(assess({ signs: ['floppy'], words: 'floppy' }).signs).toEqual([
      { code: 'floppy', isWithinWindow: true },
    ])
  })

  test.each([
    'death',
    'life-threatening',
    'hospital-stay',
    'disability',
    'birth-defect',
    'medically-important',
  ])('the outcome %s makes any report serious (WHO Global manual on AEFI)', (outcome) => {
    expect(assess({ words: 'mild fever', outcomes: [outcome] })).toMatchObject({
      isSerious: true,
      route: 'at-once',
    })
  })
})

describe('the date of a reaction (AEF-01)', () => {
  test('before the date of the dose it is refused, and a serious one is known all the same', () => {
    expect(assess({ words: 'fits', reactionOn: on('2026-02-28') })).toMatchObject({
      kind: 'refused',
      reason: 'before-dose',
      isSerious: true,
    })
  })

  test('after the day of the report it is refused', () => {
    expect(assess({ reactionOn: on('2026-03-04') })).toMatchObject({ kind: 'refused', reason: 'in-future' })
  })

  test('on the day of the dose it is taken', () => {
    expect(assess({ reactionOn: on('2026-03-01') }).kind).toBe('assessed')
  })

  test('a child with no dose in the register is not turned away', () => {
    expect(assess({ words: 'fits', doses: [] })).toMatchObject({
      kind: 'assessed',
      isSerious: true,
      doses: [],
    })
  })

  test('belongs to the latest vaccination before it', () => {
    const doses = [
      { vaccine: 'BCG', on: on('2026-01-05') },
      { vaccine: 'PENTA', on: on('2026-03-01') },
      { vaccine: 'BOPV', on: on('2026-03-01') },
      { vaccine: 'PENTA', on: on('2026-03-29') },
    ]

    expect(assess({ doses })).toMatchObject({ doses: [doses[1], doses[2]] })
  })
})

describe('reportable windows (HSA Singapore, after WHO Western Pacific guidance)', () => {
  test.each([
    ['trouble breathing', '2026-03-03', true],
    ['trouble breathing', '2026-03-04', false],
    ['crying for hours', '2026-03-03', true],
    ['crying for hours', '2026-03-04', false],
    ['abscess', '2026-03-08', true],
    ['abscess', '2026-03-09', false],
    ['fits', '2026-03-15', true],
    ['fits', '2026-03-16', false],
    ['cannot move', '2026-06-01', true],
    ['cannot move', '2026-06-02', false],
  ])('"%s" on %s after a dose on 1 March: within its window %s', (words, day, isWithinWindow) => {
    const [sign] = assess({ words, reactionOn: on(day), reportedOn: on(day) }).signs

    expect(sign?.isWithinWindow).toBe(isWithinWindow)
  })

  test.each([
    ['2026-03-31', false],
    ['2026-04-01', true],
    ['2027-03-01', true],
    ['2027-03-02', false],
  ])('swollen glands on %s, one to twelve months after BCG on 1 March: %s', (day, isWithinWindow) => {
    const doses = [{ vaccine: 'BCG', on: on('2026-03-01') }]

    expect(
      assess({ words: 'swollen glands', doses, reactionOn: on(day), reportedOn: on(day) }).signs,
    ).toContainEqual({
      code: 'swollen-glands',
      isWithinWindow,
    })
  })

  test('swollen glands belong to BCG, not to another vaccine', () => {
    const day = on('2026-05-01')

    expect(assess({ words: 'glands', reactionOn: day, reportedOn: day }).signs).toEqual([
      { code: 'swollen-glands', isWithinWindow: false },
    ])
  })

  test('death and hospital have no window', () => {
    expect(assess({ words: 'died in hospital' }).signs).toEqual([
      { code: 'death', isWithinWindow: null },
      { code: 'hospital', isWithinWindow: null },
    ])
  })

  test('a serious sign outside its window is as serious', () => {
    const late = on('2027-01-01')

    expect(assess({ words: 'fits', reactionOn: late, reportedOn: late }).isSerious).toBe(true)
  })
})
