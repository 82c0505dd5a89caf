import { Refusal } from '../../../src/core/refusals.ts'
import { explainFailure } from '../../../src/main/explain-failure.ts'
import { ConfigError } from '../../../src/platform/config.ts'
import { MigrationError } from '../../../src/store/migration-error.ts'

describe('explainFailure', () => {
  test('ends with 2 when the service was set up wrongly', () => {
    expect(explainFailure(new ConfigError(['HTTP_PORT: wrong']))).toEqual({
      text: 'The configuration is not usable:\n  HTTP_PORT: wrong',
      exitCode: 2,
    })
  })

  test('ends with 1 and a plain sentence when the answer is no', () => {
    const refusal = new Refusal('village-not-found', 'There is no village Hilltop.')

    expect(explainFailure(refusal)).toEqual({ text: 'There is no village Hilltop.', exitCode: 1 })
    expect(explainFailure(new MigrationError('The step failed.'))).toEqual({
      text: 'The step failed.',
      exitCode: 1,
    })
  })

  test('says which port is taken, and may be tried again', () => {
    const taken = Object.assign(new Error('listen EADDRINUSE: address already in use 127.0.0.1:8080'), {
      code: 'EADDRINUSE',
    })

    const { text, exitCode } = explainFailure(taken)
    expect(text).toMatch(/127\.0\.0\.1:8080: another program listens there; .*HTTP_PORT/)
    expect(exitCode).toBe(1)
  })

  test('shows where a bug is', () => {
    const { text, exitCode } = explainFailure(new TypeError('not a function'))

    expect(text).toMatch(/TypeError: not a function\n +at /)
    expect(exitCode).toBe(1)
  })
})
