import { keypadOf } from '../../support/keypad.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService()
const { clock, database, ask, liveUntil } = service

test('a manager reads the coverage of the district and of a village, as COVER has it', async () => {
  clock.moveTo('2026-03-10T10:00+03:00')
  const district = await newDistrict(service)
  const phone = keypadOf(service, district.manager)

  expect(await phone.dial()).toMatch(/^Two Rivers \d+\n1 Coverage\n2 Did not come\n0 End$/)
  await phone.press('1', '1')
  const whole = await phone.readOn()
  await phone.press('00', '1')
  await phone.choose('Mbari')
  const village = await phone.readOn()

  expect(whole).toBe(await ask(district.manager, 'COVER'))
  expect(village).toBe(await ask(district.manager, 'COVER Mbari'))
})

test('a manager reads how many did not come', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  await district.enrol({ village: 'Mbari', birthDate: '2026-01-20' })
  const phone = keypadOf(service, district.manager)

  await phone.dial('2')
  expect(await phone.choose('Mbari')).toMatch(/^Mbari: every expected child came\./)
  await liveUntil('2026-03-11T10:00+03:00')
  await phone.dial('2')
  expect(await phone.choose('Mbari')).toMatch(/^Mbari: 1 child did not come\./)
  await phone.press('0')
  expect(await phone.choose('Kesho')).toMatch(/^Kesho: every expected child came\./)
})

test('a manager who was made a vaccinator is not shown the old menus', async () => {
  clock.moveTo('2026-03-04T10:00+03:00')
  const district = await newDistrict(service)
  const phone = keypadOf(service, district.manager)
  await phone.dial('1')
  await database.db.person.update({ where: { phone: district.manager }, data: { role: 'vaccinator' } })

  expect(await phone.press('1')).toBe('This session is over. Please dial again.')
  expect(await phone.dial()).toMatch(/1 Record vaccines/)
})
