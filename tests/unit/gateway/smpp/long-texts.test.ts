import { partsInOrder, type ArrivedPart, type PartGroup } from '../../../../src/gateway/smpp/joining.ts'
import { LongTexts } from '../../../../src/gateway/smpp/long-texts.ts'

// The global `jest` does not exist in ES modules.
const { jest } = import.meta

const part = (number: number): ArrivedPart => ({
  from: '+447700900123',
  to: '70900',
  reference: 'header 8 7',
  total: 2,
  number,
  dataCoding: 0,
  shift: { locking: null, single: null },
  octets: Buffer.from(String(number)),
})

let nowMs: number
let stored: string[]
let isDatabaseUp: boolean
let faults: unknown[]

beforeEach(() => {
  ;[nowMs, stored, isDatabaseUp, faults] = [0, [], true, []]
  jest.useFakeTimers({ doNotFake: ['nextTick', 'setImmediate', 'queueMicrotask'] })
})

afterEach(() => {
  jest.useRealTimers()
})

function longTexts(): LongTexts {
  return new LongTexts({
    holdMs: 1000,
    keepMs: 600_000,
    elapsedMs: () => nowMs,
    store(group: PartGroup) {
      if (!isDatabaseUp) return Promise.reject(new Error('no database'))
      stored.push(
        partsInOrder(group)
          .map(({ octets }) => octets.toString())
          .join('+'),
      )
      return Promise.resolve()
    },
    onFault: (error) => faults.push(error),
  })
}

const settle = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))
const outcomeOf = (work: Promise<void>): Promise<string> =>
  work.then(
    () => 'confirmed',
    () => 'put off',
  )

describe('LongTexts', () => {
  test('confirms no part before the whole text is stored', async () => {
    const texts = longTexts()
    const first = outcomeOf(texts.take(part(2)))
    await settle()
    expect(stored).toEqual([])

    expect(await outcomeOf(texts.take(part(1)))).toBe('confirmed')
    expect(await first).toBe('confirmed')
    expect(stored).toEqual(['1+2'])
  })

  test('puts every part off when the text could not be stored, and stores it when one comes again', async () => {
    const texts = longTexts()
    isDatabaseUp = false
    const parts = [outcomeOf(texts.take(part(1))), outcomeOf(texts.take(part(2)))]
    expect(await Promise.all(parts)).toEqual(['put off', 'put off'])

    isDatabaseUp = true
    expect(await outcomeOf(texts.take(part(1)))).toBe('confirmed')
    expect(await outcomeOf(texts.take(part(2)))).toBe('confirmed')
    expect(stored).toEqual(['1+2'])
  })

  test('confirms a lone part after a moment, for an SMSC that waits for that before it sends the next', async () => {
    const texts = longTexts()
    const first = outcomeOf(texts.take(part(1)))
    jest.advanceTimersByTime(1000)
    expect(await first).toBe('confirmed')

    expect(await outcomeOf(texts.take(part(2)))).toBe('confirmed')
    expect(stored).toEqual(['1+2'])
  })

  test('passes a text on as it is when its parts do not come in time', async () => {
    const texts = longTexts()
    void texts.take(part(1))
    nowMs = 600_000
    jest.advanceTimersByTime(600_000)
    await settle()

    expect(stored).toEqual(['1'])
  })

  test('keeps a torn text that could not be stored for another while', async () => {
    const texts = longTexts()
    void texts.take(part(1))
    isDatabaseUp = false
    nowMs = 600_000
    jest.advanceTimersByTime(60_000)
    await settle()
    expect(faults).toHaveLength(1)

    isDatabaseUp = true
    nowMs = 1_200_000
    jest.advanceTimersByTime(60_000)
    await settle()
    expect(stored).toEqual(['1'])
  })

  test('passes on what is incomplete when it closes', async () => {
    const texts = longTexts()
    const first = outcomeOf(texts.take(part(2)))
    jest.advanceTimersByTime(1000)
    await first
    await texts.close()

    expect(stored).toEqual(['2'])
  })
})
