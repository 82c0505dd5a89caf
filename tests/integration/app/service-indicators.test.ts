/** WHO indicators I40 to I45 of a month, from texts of two posts to the figures; every figure is worked out by hand. */
import { runningService } from '../../support/running-service.ts'
import { newDistrict, newPhone } from '../../support/test-district.ts'

const service = await runningService('2026-02-20T10:00+03:00')
const { ask, call, clock } = service

const WEEKLY = ['FREQ=WEEKLY;BYDAY=TU']
const PEOPLE = { population: 500, birthsPer1000: 40, infantDeathsPer1000Births: 25 }

async function twoPosts() {
  const [ford, hill] = [newPhone(), newPhone()]
  const district = await newDistrict(service, {
    posts: [
      { name: 'Ford', sessions: WEEKLY },
      { name: 'Hill', sessions: WEEKLY },
    ],
    villages: [
      { name: 'Mbari', post: 'Ford', ...PEOPLE },
      { name: 'Kesho', post: 'Hill', ...PEOPLE },
    ],
    people: [
      { name: 'Wanda Ford', role: 'vaccinator', phone: ford, post: 'Ford' },
      { name: 'Hanna Hill', role: 'vaccinator', phone: hill, post: 'Hill' },
      { name: 'Magnus Hill', role: 'manager', phone: newPhone() },
    ],
  })
  return { district, ford, hill }
}

// Formulas: WHO digital adaptation kit for immunizations, indicators I40 to I45; traps as docs/indicators.md decides them.
test('a month of two posts has the wastage, stock-outs, refrigerators, reactions and sessions counted by hand', async () => {
  const { district, ford, hill } = await twoPosts()
  const { id, token } = district
  expect(await ask(ford, 'STOCK BOPV 10')).toMatch(/^Stock noted/)

  clock.moveTo('2026-03-03T10:00+03:00')
  const children = []
  for (const name of ['Asha Temba', 'Neema Lake', 'Rehema Dune'])
    children.push(await district.enrol({ name, birthDate: '2026-01-10' }))
  for (const text of ['STOCK BOPV +10', 'STOCK BOPV -1 broken', 'STOCK BOPV -3 expired'])
    expect(await ask(ford, text)).toMatch(/^Stock noted/)
  expect(await ask(ford, 'OPENED BOPV L1 05/2027')).toContain('101')
  for (const { cardNumber } of children) await ask(ford, `GAVE ${cardNumber} BOPV V 101`)
  await ask(ford, 'DISCARD 101 broken')
  await ask(ford, 'TEMP 5 fridge 1')
  await ask(ford, 'TEMP 9 fridge 2')
  await ask(hill, 'TEMP 4')
  for (const text of ['STOCK BOPV 5', 'STOCK BOPV 0', 'STOCK BOPV +15'])
    expect(await ask(hill, text)).toMatch(/^Stock noted/)
  await ask(ford, `REACTION ${children[0]?.cardNumber ?? ''} mild rash`)
  clock.moveTo('2026-04-02T10:00+03:00')
  const path = `/v1/districts/${id}/service-indicators`
  const month = 'from=2026-03-01&to=2026-03-31'

  const { body } = await call('GET', `${path}?${month}`, { token })
  const { indicators } = body as { readonly indicators: readonly Record<string, unknown>[] }
  const of = (code: string) => indicators.filter((each) => each['id'] === code)
  // Ford had 10 and got 10, Hill found 5 and got 15: 40 vials of ten doses, of which 4 were lost.
  expect(of('I40')).toMatchObject([
    { numerator: 40, denominator: 400, percent: 10, note: 'vials lost: broken 1, expired 3' },
  ])
  // One vial of ten doses, three children.
  expect(of('I41')).toMatchObject([{ part: 'BOPV', numerator: 7, denominator: 10, percent: 70 }])
  // Hill stood at none.
  expect(of('I42')).toMatchObject([{ part: 'ALL', numerator: 1, denominator: 2, percent: 50 }])
  // Ford's second refrigerator was too warm.
  expect(of('I43')).toMatchObject([
    { numerator: 2, denominator: 3, percent: expect.closeTo(66.67, 2) as number },
  ])
  expect(of('I44')).toMatchObject([{ part: 'BOPV', numerator: 1, denominator: null, note: 'not serious' }])
  // Tuesdays of March 2026: 3, 10, 17, 24, 31. Ford gave doses on the 3rd.
  expect(of('I45')).toMatchObject([
    { part: 'Ford', numerator: 1, denominator: 5, percent: 20 },
    { part: 'Hill', numerator: 0, denominator: 5, percent: 0 },
    { part: 'ALL', numerator: 1, denominator: 10, percent: 10 },
  ])

  const csv = await call('GET', `${path}.csv?${month}`, { token })
  expect(csv.body).toContain('I42,ALL,1,2,50.0,')
  const backwards = await call('GET', `${path}?from=2026-03-31&to=2026-03-01`, { token })
  expect(backwards).toMatchObject({ status: 400, body: { code: 'input-invalid' } })
})

test('a month before the first count has no store to divide by', async () => {
  const { district, ford } = await twoPosts()
  await ask(ford, 'STOCK BOPV 10')

  const { body } = await call(
    'GET',
    `/v1/districts/${district.id}/service-indicators?from=2026-01-01&to=2026-01-31`,
    { token: district.token },
  )

  expect(body).toMatchObject({
    indicators: expect.arrayContaining([
      expect.objectContaining({ id: 'I42', numerator: 0, denominator: 0, percent: null }),
    ]) as unknown,
  })
})
