import { beginDialogue, currentStep, resumeDialogue } from '../../../src/core/menus/dialogue.ts'
import type { Dialogue, StepName } from '../../../src/core/menus/step.ts'
import { homeOf } from '../../../src/core/menus/view-of.ts'
import { CARD, fullWorld, shown, turn } from '../../support/menu-world.ts'
import type { Turned, World } from '../../support/menu-world.ts'

type Role = Parameters<typeof homeOf>[0]

const world = fullWorld('en')

/** A dialogue after some keys; what is to be done succeeds. */
function after(role: Role, keys: readonly string[], where: World = world): Turned {
  const begun: Turned = { ...shown(where, beginDialogue(homeOf(role))), deed: null }
  const done = { kind: 'done', text: 'Stored.', card: null } as const
  return keys.reduce((at, key) => turn(where, at.dialogue, key, done), begun)
}

const stepAfter = (role: Role, ...keys: readonly string[]): StepName =>
  currentStep(after(role, keys).dialogue).step

describe('the main tasks', () => {
  test.each([
    ['vaccinator', [], 'vaccinator-home'],
    ['vaccinator', ['1'], 'card'],
    ['vaccinator', ['2'], 'due'],
    ['vaccinator', ['3'], 'village'],
    ['vaccinator', ['4'], 'undo'],
    ['vaccinator', ['5', '1'], 'which-vaccine'],
    ['vaccinator', ['6'], 'reaction-card'],
    ['vaccinator', ['7', '1'], 'technique-card'],
    ['vaccinator', ['9', '1'], 'fridge'],
    ['manager', ['1', '1'], 'coverage'],
    ['manager', ['2', '1'], 'missed'],
    ['parent', [], 'family-home'],
  ] as const)('of a %s begin within two keys: %j is %s (requirement AVL-06)', (role, keys, step) => {
    expect(stepAfter(role, ...keys)).toBe(step)
    expect(keys.length).toBeLessThanOrEqual(2)
  })

  test('show a parent the next date before any key', () => {
    expect(after('parent', []).text).toMatch(/^Maximiliana, Jasper: Wed 24 Nov/)
  })
})

describe('a key', () => {
  test('turns pages and turns them back', () => {
    const first = after('vaccinator', ['2'])
    const second = turn(world, first.dialogue, '9')

    expect(second.text).not.toBe(first.text)
    expect(turn(world, second.dialogue, '0').text).toBe(first.text)
  })

  test('counts on the page where it is shown and nowhere else', () => {
    const second = after('vaccinator', ['2', '9'])
    const [, left, right] = /^1 (\d{4}) (\d{4})/m.exec(second.text) ?? []

    expect(left).toBeDefined()
    expect(currentStep(turn(world, second.dialogue, '1').dialogue)).toMatchObject({
      step: 'vaccines',
      card: `${left ?? ''}${right ?? ''}`,
    })
  })

  test('00 leads home from anywhere, 0 one step back, and out of the home menu', () => {
    expect(stepAfter('vaccinator', '1', CARD, '1', '00')).toBe('vaccinator-home')
    expect(stepAfter('vaccinator', '1', CARD, '1', '0')).toBe('vaccines')
    expect(after('vaccinator', ['1', '0', '0'])).toMatchObject({ text: 'Thank you. Goodbye.', ends: true })
  })

  test('that means nothing repeats the page with a word about it, also on a later page', () => {
    const second = after('vaccinator', ['2', '9'])

    expect(turn(world, second.dialogue, '77').text).toBe(`Wrong key.\n${second.text}`)
  })

  test('is understood in other digits and with blanks around it', () => {
    expect(stepAfter('vaccinator', ' 1 ')).toBe('card')
    expect(stepAfter('vaccinator', '१', '٤٨٢١ ٧٧٣٩')).toBe('vaccines')
  })

  test('after the end shows the last screen again', () => {
    const over = after('parent', ['0'])

    expect(turn(world, over.dialogue, '1')).toMatchObject({ text: over.text, ends: true, deed: null })
  })

  test('means nothing once the screen has changed under it; the new screen is shown instead', () => {
    const look = after('vaccinator', ['1', CARD, '23', '9'])
    const known = { ...world.facts, 'check-doses': { ...preview(), known: ['BCG', 'HEPB'], uncounted: [] } }
    const changed = turn({ ...world, facts: known }, look.dialogue, '8')

    expect(look.text).toMatch(/8 Save/)
    expect(changed.deed).toBeNull()
    expect(changed.text).toMatch(/BCG, HEPB of this day is on record already/)
  })
})

function preview() {
  const facts = world.facts['check-doses']
  if (facts === null) throw new Error('this world has a child for every card')
  return facts
}

describe('an entry that cannot be taken', () => {
  test('is said above the same question, until a good one comes', () => {
    const wrong = after('vaccinator', ['1', '48217738'])

    expect(wrong.text).toBe(
      'A digit of card 48217738 is wrong.\nType the card number.\n1 No card: find by name\n0 Back',
    )
    expect(currentStep(turn(world, wrong.dialogue, CARD).dialogue).step).toBe('vaccines')
    expect(turn(world, wrong.dialogue, '5').text).toBe(
      'Wrong key.\nType the card number.\n1 No card: find by name\n0 Back',
    )
  })
})

describe('several numbers at once', () => {
  test('tick these lines, and one of them again takes its tick away', () => {
    const look = after('vaccinator', ['1', CARD, '23'])
    const list = turn(world, look.dialogue, '0')

    expect(currentStep(look.dialogue)).toMatchObject({ step: 'check-doses', vaccines: ['BCG', 'HEPB'] })
    expect(list.text).toMatch(/2 \+BCG\n3 \+HEPB\n4 BOPV/)
    expect(currentStep(turn(world, list.dialogue, '3').dialogue)).toMatchObject({ vaccines: ['BCG'] })
    expect(currentStep(turn(world, list.dialogue, '3 2').dialogue)).toMatchObject({
      step: 'vaccines',
      vaccines: [],
    })
  })

  test('of which one is no line tick nothing', () => {
    const list = after('vaccinator', ['1', CARD])

    expect(turn(world, list.dialogue, '28').text).toMatch(/^Wrong key\./)
  })
})

describe('a dialogue that broke off', () => {
  const home = homeOf('vaccinator')
  const resumed = (last: Dialogue) => resumeDialogue(last, home)

  test('is offered again; going on shows what was open, starting again the home menu', () => {
    const open = after('vaccinator', ['1', CARD])
    const offer = shown(world, resumed(open.dialogue))

    expect(offer.text).toBe('You stopped half-way.\n1 Go on\n2 Start again\n0 Back 00 Menu')
    expect(turn(world, offer.dialogue, '1').text).toBe(open.text)
    expect(currentStep(turn(world, offer.dialogue, '2').dialogue)).toEqual(home)
  })

  test('twice is offered once', () => {
    const once = resumed(after('vaccinator', ['1', CARD]).dialogue)

    expect(resumed(once)).toEqual(once)
  })

  test('after something was stored shows that again', () => {
    const stored = after('vaccinator', ['1', CARD, '1', '9', '8'])

    expect(stored.text).toMatch(/^Stored\./)
    expect(shown(world, resumed(stored.dialogue)).text).toBe(stored.text)
  })

  test.each([
    ['at the home menu', after('vaccinator', [])],
    ['after its end', after('vaccinator', ['0'])],
    ['of another role', after('parent', ['1'])],
  ])('%s begins anew', (_, last) => {
    expect(resumed(last.dialogue)).toEqual(beginDialogue(home))
  })
})
