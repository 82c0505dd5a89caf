import { runDuebell } from '../support/run-duebell.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'

const service = await runningService('2026-03-03T10:00+03:00')
const erase = (...words: readonly string[]) =>
  runDuebell(['erase', ...words], { DATABASE_URL: service.database.url })

test('duebell erase removes the child of a card when it is told why, by whom and yes', async () => {
  const district = await newDistrict(service)
  const { id, cardNumber } = await district.enrol()
  const why = ['--reason', 'family-asked', '--asked-by', 'father']

  expect((await erase(cardNumber, ...why)).complaint).toContain('--yes')
  expect((await erase(cardNumber, ...why, '--yes')).output).toMatch(/^erased: 1 records, .* 1 phone numbers/)

  const row = await service.database.db.child.findUniqueOrThrow({ where: { id } })
  expect(row).toMatchObject({ name: '', cardNumber })
  expect((await erase(cardNumber, ...why, '--yes')).complaint).toContain('There is no child with the card')
})
