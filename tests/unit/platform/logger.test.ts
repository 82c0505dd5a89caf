import { openLogger } from '../../../src/platform/logger.ts'

function logged(write: (log: ReturnType<typeof openLogger>) => void): Record<string, unknown>[] {
  const lines: string[] = []
  write(openLogger('info', { write: (line) => lines.push(line) }))
  return lines.map((line) => JSON.parse(line) as Record<string, unknown>)
}

function failureOf(work: () => unknown): unknown {
  try {
    return work()
  } catch (error) {
    return error
  }
}

describe('openLogger', () => {
  test('writes one JSON line with time, level, message and facts', () => {
    const [line] = logged((log) => {
      log.info('reminders queued', { count: 3 })
    })

    const { time, ...rest } = line ?? {}
    expect(time).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}Z$/)
    expect(rest).toEqual({ level: 'info', msg: 'reminders queued', count: 3 })
  })

  test('leaves out what is below its level', () => {
    expect(
      logged((log) => {
        log.debug('detail')
      }),
    ).toEqual([])
  })

  test.each(['name', 'phone', 'to', 'from', 'body', 'text', 'password', 'token', 'url'])(
    'hides the fact %s, at the top and one step down',
    (key) => {
      const [line] = logged((log) => {
        log.info('a slip', { [key]: 'secret', inside: { [key]: 'secret' } })
      })

      expect(JSON.stringify(line)).not.toContain('secret')
    },
  )

  test('writes of an error what went wrong, and nothing that hangs on it', () => {
    const cause = Object.assign(new Error('no answer from +44 7700900123'), { code: 'ECONNRESET' })
    const error = Object.assign(new Error('sending failed', { cause }), { row: { caregiver: 'A. Nother' } })

    const [line] = logged((log) => {
      log.error('a job failed', { error })
    })

    expect(line).toMatchObject({
      error: {
        kind: 'Error',
        message: 'sending failed',
        cause: { code: 'ECONNRESET', message: 'no answer from +[number]' },
      },
    })
    expect(JSON.stringify(line)).not.toMatch(/7700900123|Nother/)
  })

  test.each([
    ['a name that was no JSON', failureOf(() => JSON.parse('"Asha" Temba'))],
    ['a quoted value', new Error('invalid value for uuid: "Asha \\" Temba"')],
    ['a spaced card number', new Error('no card 4471 2038')],
    ['a spaced phone number', 'no answer from +44 7700 900123'],
  ])('writes of an error %s no value', (_what, error) => {
    const said = JSON.stringify(
      logged((log) => {
        log.error('a job failed', { error, reason: 'refused by 7700900123' })
      }),
    )

    expect(said).not.toMatch(/Asha|Temba|4471|2038|7700|9001/)
  })

  test('writes which rule of the database was broken, and of which row', () => {
    const id = '01234567-8901-7234-8567-012345678901'
    const error = new Error('violates check constraint "child_name_is_sealed"')

    const [line] = logged((log) => {
      log.error('a job failed', { child: id, error })
    })

    expect(line).toMatchObject({ child: id, error: { message: error.message } })
  })

  test('writes every error of a bundle', () => {
    const [line] = logged((log) => {
      log.error('stopping failed', { error: new AggregateError([new Error('one'), new Error('two')]) })
    })

    expect(line).toMatchObject({ error: { errors: [{ message: 'one' }, { message: 'two' }] } })
  })
})
