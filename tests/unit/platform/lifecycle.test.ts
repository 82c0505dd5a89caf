import { openLifecycle, stopRequested } from '../../../src/platform/lifecycle.ts'

describe('openLifecycle', () => {
  test('undoes the last start first', async () => {
    const stopped: string[] = []
    const lifecycle = openLifecycle(1000)
    for (const name of ['database', 'queue', 'http']) {
      lifecycle.onStop(name, () => {
        stopped.push(name)
        return Promise.resolve()
      })
    }

    await lifecycle.stop()

    expect(stopped).toEqual(['http', 'queue', 'database'])
  })

  test('runs each step once, however often it is told to stop', async () => {
    let runs = 0
    const lifecycle = openLifecycle(1000)
    lifecycle.onStop('counter', () => {
      runs++
      return Promise.resolve()
    })

    await Promise.all([lifecycle.stop(), lifecycle.stop()])
    await lifecycle.stop()

    expect(runs).toBe(1)
  })

  test('goes on after a failure and reports every one by name', async () => {
    let isDatabaseClosed = false
    const lifecycle = openLifecycle(1000)
    lifecycle.onStop('database', () => {
      isDatabaseClosed = true
      return Promise.resolve()
    })
    lifecycle.onStop('queue', () => Promise.reject(new Error('no connection')))
    lifecycle.onStop('http', () => Promise.reject(new Error('port gone')))

    const stop = lifecycle.stop()

    await expect(stop).rejects.toMatchObject({
      errors: [
        { message: 'stopping http failed', cause: { message: 'port gone' } },
        { message: 'stopping queue failed', cause: { message: 'no connection' } },
      ],
    })
    expect(isDatabaseClosed).toBe(true)
  })

  test('does not wait for ever for a step', async () => {
    const lifecycle = openLifecycle(20)
    lifecycle.onStop('queue', () => new Promise(() => undefined))

    await expect(lifecycle.stop()).rejects.toMatchObject({
      errors: [{ message: 'stopping queue failed', cause: { message: 'it took longer than 20 ms' } }],
    })
  })
})

test.each(['SIGINT', 'SIGTERM'] as const)(
  'stopRequested waits for %s and then lets go of both',
  async (name) => {
    const before = process.listenerCount('SIGINT') + process.listenerCount('SIGTERM')
    const requested = stopRequested()

    process.emit(name)

    await requested
    expect(process.listenerCount('SIGINT') + process.listenerCount('SIGTERM')).toBe(before)
  },
)
