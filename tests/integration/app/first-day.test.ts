/** A worker's first day with the vaccinator's page of docs/manual.md and nothing else (requirement AVL-05). */
import { readFileSync } from 'node:fs'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-12-01T10:00+03:00')
const { ask } = service

/** What the page says to send, by when. */
const rows = new Map(
  [...readFileSync('docs/manual.md', 'utf8').matchAll(/^\| ([^|]+?) +\| `([^`]+)`/gm)].map(
    ([, when = '', text = '']) => [when, text],
  ),
)
const textFor = (when: string): string => rows.get(when) ?? ''
const PRINTED_CARD = '5800 1043'

test('the page is enough to enrol a child, record what is due, look, and take it back', async () => {
  const district = await newDistrict(service, {
    posts: [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] }],
    villages: [{ name: 'Ashwater', post: 'Ford' }],
  })
  const send = (when: string, card = PRINTED_CARD) =>
    ask(district.vaccinator, textFor(when).replace(PRINTED_CARD, card))

  const enrolled = await send('a new child')
  const [card = ''] = /\d{4} \d{4}/.exec(enrolled) ?? []
  expect(enrolled).toMatch(/^Zawadi is enrolled\. Write this number on the card: \d{4} \d{4}\./)

  expect(await send('everything due was given', card)).toMatch(
    /^\d{4} \d{4} Zawadi: .*PENTA 1.* recorded for /,
  )
  expect(await send('what has this child had?', card)).toMatch(/Had: .*PENTA 1/)
  expect(await send('you made a mistake')).toMatch(/^Taken back: /)
  expect(await send('you do not know how')).toMatch(/^Send:/)
})
