import { readFileSync } from 'node:fs'
import { beginDialogue } from '../../../src/core/menus/dialogue.ts'
import type { Outcome } from '../../../src/core/menus/dialogue.ts'
import { homeOf } from '../../../src/core/menus/view-of.ts'
import { mustParseDay } from '../../../src/core/days/day.ts'
import { aCaller, CARD, fullWorld, shown, turn } from '../../support/menu-world.ts'
import type { World } from '../../support/menu-world.ts'

/** The district of docs/ussd.md: one post, two villages, one child. */
const visit = { childId: 'asha', child: 'Asha', count: 1, day: 'Tue 1 Dec', place: 'Ford' }
const visits = { visits: [visit], isStopped: false }
const birthOn = mustParseDay('2026-10-12')
const world: World = {
  caller: aCaller('en', { place: 'Ford', hasOwnChildren: false, hasPin: false }),
  facts: {
    ...fullWorld('en').facts,
    'family-home': visits,
    move: { visit, next: 'Tue 8 Dec' },
    vaccines: { child: 'Asha', isFollowed: true, due: ['BOPV', 'PENTA', 'PCV'], others: [] },
    'check-doses': { child: 'Asha', birthOn, uncounted: [], known: [], refusal: null },
    village: ['Mbari', 'Kesho'],
    vials: [],
    'which-vaccine': ['FIPV'],
    lot: [],
    'which-place': ['Mbari', 'Kesho'].map((name) => ({ id: name, name })),
    missed: { place: 'Mbari', count: 3 },
  },
}

/** What the store says to the deeds of the page. */
const OUTCOMES: Readonly<Record<string, Outcome>> = {
  'move-later': {
    kind: 'done',
    text: 'The vaccine day of Asha is now Tue 8 Dec at Ford. Please bring the card.',
    card: null,
  },
  'record-doses': {
    kind: 'done',
    text: '4821 7739 Asha: OPV 1, PENTA 1 recorded for Tue 24 Nov. Next visit: Tue 22 Dec, Ford.',
    card: null,
  },
  enrol: { kind: 'alike', children: [{ card: CARD, child: 'Asha' }] },
}

const page = readFileSync('docs/ussd.md', 'utf8')
const blocks = [...page.matchAll(/```text (vaccinator|manager|parent)\n([\s\S]*?)```/g)].map(
  ([, role = '', block = '']) => ({ role, block }),
)

describe('docs/ussd.md', () => {
  test('shows every role', () => {
    expect(new Set(blocks.map(({ role }) => role))).toEqual(new Set(['vaccinator', 'manager', 'parent']))
  })

  test.each(blocks)('shows the screens of a $role as they are', ({ role, block }) => {
    let at = shown(world, beginDialogue(homeOf(role as Parameters<typeof homeOf>[0])))
    const screens = [at.text]
    for (const [, key = ''] of block.matchAll(/^> (.*)$/gm)) {
      const { deed } = turn(world, at.dialogue, key)
      at = turn(world, at.dialogue, key, OUTCOMES[deed?.act.act ?? ''])
      screens.push(`> ${key}`, at.text)
    }

    expect(`${screens.join('\n')}\n`).toBe(block)
  })
})
