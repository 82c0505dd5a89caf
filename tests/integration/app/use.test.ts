import { reportUse } from '../../../src/app/report-use.ts'
import { runDuebell } from '../../support/run-duebell.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

// A Wednesday.
const service = await runningService('2026-03-04T10:00+03:00')
const { call, clock, database, deps } = service

test('use is counted by week, role and act, for one district, and names nobody', async () => {
  const district = await newDistrict(service)
  const other = await newDistrict(service)
  const child = await district.enrol({ birthDate: '2026-01-20' })
  await service.ask(district.vaccinator, `CARD ${child.cardNumber}`)
  await service.ask(district.vaccinator, `GAVE ${child.cardNumber} BCG`)
  clock.moveTo('2026-03-09T00:30+03:00')
  const manager = await district.tokenFor('manager')
  for (let time = 0; time < 3; time += 1) await call('GET', `/v1/children/${child.id}`, { token: manager })
  await other.enrol({ birthDate: '2026-01-21' })

  const place = { id: district.id, timeZone: 'Africa/Nairobi' }
  const rows = await reportUse(deps, place, 2)

  expect(rows).toContainEqual({ week: '2026-03-02', role: 'vaccinator', act: 'text', people: 1, acts: 2 })
  expect(rows).toContainEqual({ week: '2026-03-09', role: 'manager', act: 'view', people: 1, acts: 3 })
  expect(rows.filter(({ week, act }) => week === '2026-03-09' && act === 'enrol')).toEqual([])
  expect((await reportUse(deps, place, 1)).map(({ week }) => week)).not.toContain('2026-03-02')

  const { output } = await runDuebell(['use', '--district', district.file.district.name], {
    DATABASE_URL: database.url,
  })
  expect(output).toMatch(/^week,role,act,people,acts\n/)
  for (const secret of [district.vaccinator, child.cardNumber, child.name, child.id])
    expect(output + JSON.stringify(rows)).not.toContain(secret)
})
