import { startRounds } from '../../../src/main/rounds.ts'
import type { Service } from '../../../src/main/service.ts'
import { openLifecycle } from '../../../src/platform/lifecycle.ts'

const failures: string[] = []
const log = {
  info: () => undefined,
  warn: () => undefined,
  error: (message: string) => {
    failures.push(message)
  },
}

/** A service that tells what it was asked to do, and how the first closing ended. */
function aService(closing: () => Promise<void>): { service: Service; done: string[]; swept: Promise<void> } {
  const done: string[] = []
  let settle = (): void => undefined
  const swept = new Promise<void>((resolve) => {
    settle = resolve
  })
  const service = {
    deps: { log },
    closeDay: async () => {
      await closing()
      done.push('closed')
    },
    sweep: () => {
      done.push('swept')
      settle()
      return Promise.resolve({ bundles: 0, lapsed: 0, texts: 0 })
    },
  }
  const nothing = () => Promise.resolve()
  const others = { linkRecord: nothing, searchErased: nothing, findDoubles: nothing, retain: nothing }
  // Rounds use no more of a service than this.
  return { service: { ...service, ...others } as unknown as Service, done, swept }
}

describe('rounds', () => {
  test('close the visits that passed while nothing ran before anything is said of them', async () => {
    const lifecycle = openLifecycle(1000)
    const { service, done, swept } = aService(() => new Promise((resolve) => setImmediate(resolve)))

    startRounds(service, lifecycle)
    await swept
    await lifecycle.stop()

    expect(done).toEqual(['closed', 'swept'])
  })

  test('go on when one of them fails, and note it', async () => {
    const lifecycle = openLifecycle(1000)
    const { service, done, swept } = aService(() => Promise.reject(new Error('no database')))

    startRounds(service, lifecycle)
    await swept
    await lifecycle.stop()

    expect(done).toEqual(['swept'])
    expect(failures).toEqual(['a round failed'])
  })
})
