import { readFileSync } from 'node:fs'
import { reading } from '../../support/reading.ts'
import type { Reader } from '../../support/reading.ts'

interface Case {
  readonly in: Reader & { readonly id: string; readonly text: string }
  readonly expect: { readonly error?: string }
}

const { cases } = JSON.parse(readFileSync(new URL('../../vectors/read.json', import.meta.url), 'utf8')) as {
  readonly cases: readonly Case[]
}

describe('read, on the cases of tests/vectors/read.json', () => {
  test.each(cases.map((each): [string, string, Case] => [each.in.id, each.in.text, each]))(
    '%s: %j',
    (_id, text, { in: reader, expect: { error, ...act } }) => {
      expect(reading(text, reader)).toMatchObject(error === undefined ? act : { code: error })
    },
  )
})
