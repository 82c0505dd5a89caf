import { readFileSync } from 'node:fs'
import { DISCARD_REASONS } from '../../../src/core/vials/discard-reason.ts'
import { alertRules, signCatalogue } from '../../support/shipped-data.ts'

const page = (name: string) => readFileSync(new URL(`../../../docs/${name}`, import.meta.url), 'utf8')

describe('the pages on vials and reactions', () => {
  test('name every sign and every step of an alert', () => {
    const codes = [
      ...signCatalogue.signs.map(({ code }) => code),
      ...alertRules.steps.map(({ step }) => step),
    ]

    expect(codes.filter((code) => !page('reactions.md').includes(`\`${code}\``))).toEqual([])
  })

  test('name every reason for a discard', () => {
    expect(DISCARD_REASONS.filter((reason) => !page('vials.md').includes(`\`${reason}\``))).toEqual([])
  })
})
