import {
  addPart,
  expireParts,
  groupKey,
  isWhole,
  markStored,
  NOTHING_JOINED,
  partsInOrder,
  restoreGroup,
  type ArrivedPart,
  type Joining,
} from '../../../../src/gateway/smpp/joining.ts'

const part = (
  number: number,
  words = `part ${String(number)}`,
  more: Partial<ArrivedPart> = {},
): ArrivedPart => ({
  from: '+447700900123',
  to: '70900',
  reference: 'header 8 7',
  total: 2,
  number,
  dataCoding: 0,
  shift: { locking: null, single: null },
  octets: Buffer.from(words),
  ...more,
})

/** Adds parts one after the other and gives the words of each group after each. */
function add(parts: readonly ArrivedPart[], start: Joining = NOTHING_JOINED) {
  let joining = start
  const steps = parts.map((one) => {
    const joined = addPart(joining, one, 1000)
    joining = joined.joining
    const words = partsInOrder(joined.group).map(({ octets }) => octets.toString())
    return { words, isWhole: isWhole(joined.group), torn: joined.torn }
  })
  return { joining, steps }
}

describe('addPart', () => {
  test('joins parts that come in the wrong order', () => {
    const { steps } = add([part(2), part(1)])

    expect(steps.map((step) => step.isWhole)).toEqual([false, true])
    expect(steps[1]?.words).toEqual(['part 1', 'part 2'])
  })

  test('joins once though a part comes twice', () => {
    expect(add([part(1), part(1), part(2)]).steps.map((step) => step.isWhole)).toEqual([false, false, true])
  })

  test('keeps texts of another total, reference, sender or receiver apart', () => {
    const { joining } = add([
      part(1),
      part(1, 'x', { total: 3 }),
      part(1, 'x', { reference: 'header 8 8' }),
      part(1, 'x', { from: '+447700900124' }),
      part(1, 'x', { to: '50505' }),
    ])

    expect(joining.size).toBe(5)
  })

  test('begins a new text when another part takes a place, and gives back the torn one', () => {
    const { steps, joining } = add([part(1), part(1, 'other')])

    expect(steps[1]).toMatchObject({ words: ['other'], isWhole: false, torn: { total: 2 } })
    expect(joining.size).toBe(1)
  })

  test('does not call a stored text torn when its reference comes round again', () => {
    const { joining } = add([part(1), part(2)])
    const { steps } = add([part(1, 'other')], markStored(joining, groupKey(part(1))))

    expect(steps[0]).toMatchObject({ words: ['other'], torn: null })
  })

  test('knows the parts of a stored text when they come again', () => {
    const { joining } = add([part(1), part(2)])
    const { group } = addPart(markStored(joining, groupKey(part(1))), part(2), 2000)

    expect(group.isStored).toBe(true)
  })
})

describe('expireParts', () => {
  test('drops what is old and names what never became whole', () => {
    const { joining } = add([part(1), part(1, 'x', { reference: 'header 8 8' })])
    const stored = markStored(joining, groupKey(part(1)))

    expect(expireParts(stored, 999)).toEqual({ joining: stored, torn: [] })
    const expired = expireParts(stored, 1000)
    expect(expired.joining.size).toBe(0)
    expect(expired.torn.map((group) => partsInOrder(group)[0]?.reference)).toEqual(['header 8 8'])
  })
})

describe('restoreGroup', () => {
  test('takes a group back for another while, unless its place is taken', () => {
    const { joining } = add([part(1)])
    const { torn } = expireParts(joining, 1000)
    const [group] = torn
    if (group === undefined) throw new Error('nothing torn')

    expect(restoreGroup(NOTHING_JOINED, group, 5000).get(groupKey(part(1)))?.since).toBe(5000)
    expect(restoreGroup(joining, group, 5000)).toBe(joining)
  })
})
