import { Pace, type PaceOptions } from '../../../../src/gateway/pacing/pace.ts'
import { refill, steadyRate, waitForToken } from '../../../../src/gateway/pacing/token-bucket.ts'
import { backoffMs } from '../../../../src/gateway/pacing/backoff.ts'

// The global `jest` does not exist in ES modules.
const { jest } = import.meta

beforeEach(() => {
  jest.useFakeTimers({ doNotFake: ['nextTick', 'setImmediate', 'queueMicrotask'] })
})

afterEach(() => {
  jest.useRealTimers()
})

function pace(more: Partial<PaceOptions> = {}): Pace {
  return new Pace({
    window: 2,
    rate: null,
    pause: { firstMs: 1000, longestMs: 8000 },
    random: () => 1,
    elapsedMs: () => performance.now(),
    ...more,
  })
}

/** Takes turns under names and gives the names of those whose turn has come. */
function line(of: Pace) {
  const gone: string[] = []
  return {
    gone,
    join: (name: string, ticket = of.ticket(name.startsWith('urgent')), patienceMs = 60_000) => {
      void of.turn(ticket, patienceMs).then((isMyTurn) => gone.push(isMyTurn ? name : `${name} gave up`))
      return ticket
    },
  }
}

const settle = (): Promise<void> => new Promise((resolve) => setImmediate(resolve))

describe('Pace', () => {
  test('lets no more go than the window, and the next when one is done', async () => {
    const one = pace()
    const { gone, join } = line(one)
    for (const name of ['a', 'b', 'c']) join(name)
    await settle()
    expect(gone).toEqual(['a', 'b'])

    one.end('taken')
    await settle()
    expect(gone).toEqual(['a', 'b', 'c'])
  })

  test('lets urgent parts go first', async () => {
    const one = pace({ window: 1 })
    const { gone, join } = line(one)
    for (const name of ['a', 'b', 'urgent c', 'd', 'urgent e']) join(name)

    for (let turn = 0; turn < 5; turn += 1) {
      one.end('taken')
      await settle()
    }

    expect(gone).toEqual(['a', 'urgent c', 'urgent e', 'b', 'd'])
  })

  // Throttling slows the bind, and the part that came too fast keeps its place.
  test('holds everything after "too fast", and lets the same part go first when the pause is over', async () => {
    const one = pace({ window: 1 })
    const { gone, join } = line(one)
    const ticket = join('a')
    join('b')
    one.end('too-fast')
    join('a again', ticket)
    await settle()
    expect(gone).toEqual(['a'])

    jest.advanceTimersByTime(999)
    await settle()
    expect(gone).toEqual(['a'])
    jest.advanceTimersByTime(1)
    await settle()
    expect(gone).toEqual(['a', 'a again'])
  })

  test('doubles the pause, once for all parts that came too fast together, and starts again after a good answer', async () => {
    const one = pace({ window: 3 })
    const { gone, join } = line(one)
    for (const name of ['a', 'b', 'c']) join(name)
    for (let answer = 0; answer < 3; answer += 1) one.end('too-fast')
    join('d')
    jest.advanceTimersByTime(1000)
    await settle()
    expect(gone).toContain('d')

    one.end('too-fast')
    join('e')
    jest.advanceTimersByTime(1999)
    await settle()
    expect(gone).not.toContain('e')
    jest.advanceTimersByTime(1)
    await settle()
    expect(gone).toContain('e')
  })

  test('sends one part alone after a pause, and widens the window with every good answer', async () => {
    const one = pace({ window: 3 })
    const { gone, join } = line(one)
    join('a')
    one.end('too-fast')
    for (const name of ['b', 'c', 'd', 'e', 'f']) join(name)
    jest.advanceTimersByTime(1000)
    await settle()
    expect(gone).toEqual(['a', 'b'])

    one.end('taken')
    await settle()
    expect(gone).toEqual(['a', 'b', 'c', 'd'])
  })

  test('gives up a place when patience is over, and the others keep theirs', async () => {
    const one = pace({ window: 1 })
    const { gone, join } = line(one)
    join('a')
    join('b', one.ticket(false), 50)
    join('c')
    jest.advanceTimersByTime(50)
    one.end('neither')
    await settle()

    expect(gone).toEqual(['a', 'b gave up', 'c'])
  })

  // Thirty parts at ten a second take three seconds.
  test('keeps to the rate in parts, not texts', async () => {
    const one = pace({ window: 100, rate: steadyRate(10) })
    const { gone, join } = line(one)
    for (let part = 0; part < 30; part += 1) join(String(part))

    for (let ms = 0; ms < 2950; ms += 50) {
      jest.advanceTimersByTime(50)
      await settle()
    }
    expect(gone.length).toBe(29)
    jest.advanceTimersByTime(50)
    await settle()
    expect(gone.length).toBe(30)
  })
})

describe('the token bucket', () => {
  test('never holds more than a burst, and says how long a token takes', () => {
    const rate = steadyRate(100)

    expect(refill({ tokens: 0, at: 0 }, rate, 10_000).tokens).toBe(5)
    expect(waitForToken({ tokens: 0.5, at: 0 }, rate)).toBe(5)
    expect(waitForToken({ tokens: 1, at: 0 }, rate)).toBe(0)
  })
})

describe('backoffMs', () => {
  test('doubles up to the longest, with jitter down to half', () => {
    const backoff = { firstMs: 1000, longestMs: 60_000 }
    const at = (random: number) =>
      [0, 1, 5, 6, 1000].map((failures) => backoffMs(failures, backoff, () => random))

    expect(at(1)).toEqual([1000, 2000, 32_000, 60_000, 60_000])
    expect(at(0)).toEqual([500, 1000, 16_000, 30_000, 30_000])
  })
})
