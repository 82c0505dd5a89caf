import { holdsPhrase, readClauses, readPhrase } from '../../../src/core/reading/find-phrases.ts'

const holds = (text: string, phrase: string) => holdsPhrase(readClauses(text), readPhrase(phrase))

describe('holdsPhrase', () => {
  test.each([
    ['Baby had a FIT, last night', 'fit'],
    ['two convulsions', 'convuls*'],
    ['convultions again', 'convuls*'],
    ['Ne respire pas bien', 'ne respire pas'],
    ['swelling of the face', 'swelling face'],
    ['ANAFILÁCTICO', 'anafilac*'],
    ['سخونة وتشنجات', '*تشنج*'],
    ['रात से तेज़ बुखार है', 'तेज बुखार'],
    ["won't wake", "won't wake"],
    ['amelazwa jana', '*lazwa'],
    ['won’t wake', "won't wake"],
  ])('finds in "%s" the phrase "%s"', (text, phrase) => {
    expect(holds(text, phrase)).toBe(true)
  })

  test.each([
    ['a bit hot', 'fit'],
    ['benefit of the doubt', 'fit'],
    ['not hungry, breathing well', 'not breathing'],
    ['face clean but some days later a little swelling', 'face swelling'],
    ['', 'fit'],
    ['***', 'fit'],
  ])('does not find in "%s" the phrase "%s"', (text, phrase) => {
    expect(holds(text, phrase)).toBe(false)
  })

  test('takes one wrong letter in a word of six, and none in a shorter one', () => {
    expect(holds('bleding', 'bleeding')).toBe(true)
    expect(holds('fat', 'fit')).toBe(false)
  })
})
