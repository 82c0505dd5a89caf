import { runDuebell } from '../support/run-duebell.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'

const service = await runningService('2019-03-03T10:00+03:00')
const retain = (...words: readonly string[]) =>
  runDuebell(['retain', ...words], { DATABASE_URL: service.database.url })

test('duebell retain --dry-run says what would go, and without it what went', async () => {
  const district = await newDistrict(service)
  const { cardNumber } = await district.enrol({ birthDate: '2019-02-01' })
  await service.ask(district.vaccinator, `GAVE ${cardNumber} BCG`)
  const wordsLeft = () => service.database.db.textIn.count({ where: { emptiedAt: null } })

  const { output: listed } = await retain('--dry-run')
  expect(listed).toMatch(/^district,kind,days,count\n/)
  expect(listed).toContain(`${district.file.district.name},textsIn,1826,1\n`)
  expect(await wordsLeft()).toBe(1)

  expect((await retain()).output).toBe(listed)
  expect(await wordsLeft()).toBe(0)
})
