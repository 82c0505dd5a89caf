/** A dose noted for the wrong child (requirement DOS-09). */
import { z } from 'zod'
import { fieldOf, pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call } = service

const onRecord = z.object({
  doses: z.array(
    z.looseObject({
      id: z.string(),
      vaccine: z.string(),
      givenOn: z.string(),
      recordedVia: z.string(),
      withdrawnAt: z.string().nullable(),
      withdrawnBecause: z.string().nullable(),
    }),
  ),
})

async function twoChildren() {
  await service.empty()
  const district = await newDistrict(service)
  const wrong = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
  const right = await district.enrol({ name: 'Juma Okello', birthDate: '2026-01-20', isKnownToBeNew: true })
  await ask(district.vaccinator, `GAVE ${wrong.cardNumber} PENTA 03/03/2026`)
  const { token } = district
  const doses = async ({ id }: { readonly id: string }) =>
    onRecord.parse((await call('GET', `/v1/children/${id}/doses`, { token })).body).doses
  const next = async ({ id }: { readonly id: string }) => {
    const { body } = await call('GET', `/v1/children/${id}/forecast`, { token })
    const { next: rows } = z
      .object({ next: z.array(z.object({ series: z.string(), dose: z.int() })) })
      .parse(body)
    return rows.find(({ series }) => series === 'PENTA')?.dose
  }
  const coverage = async () => {
    const { body } = await call('GET', `/v1/districts/${district.id}/coverage`, { token })
    const row = z.looseObject({ village: z.string(), series: z.string(), dose: z.int(), numerator: z.int() })
    const { rows } = z.object({ rows: z.array(row) }).parse(body)
    return rows.find(({ village, series, dose }) => village === 'ALL' && series === 'PENTA' && dose === 1)
      ?.numerator
  }
  const move = async (dose: { readonly id: string } | undefined, card: string) =>
    call('POST', `/v1/doses/${dose?.id ?? ''}/move`, { token, body: { card } })
  return { district, wrong, right, doses, next, coverage, move }
}

test('a dose moves to the right child in one step: both histories and both forecasts are right after it', async () => {
  const { wrong, right, doses, next, coverage, move } = await twoChildren()
  expect([await next(wrong), await next(right)]).toEqual([2, 1])
  const [dose] = await doses(wrong)

  expect(await move(dose, right.cardNumber)).toMatchObject({ status: 200, body: { child: { id: right.id } } })

  const [left] = await doses(wrong)
  const [moved] = await doses(right)
  expect(left?.withdrawnBecause).toMatch(/^given to another child: moved to card \d{4} \d{4}$/)
  expect(moved).toMatchObject({ vaccine: 'PENTA', givenOn: '2026-03-03', withdrawnAt: null })
  expect([await next(wrong), await next(right)]).toEqual([1, 2])
  expect(await coverage()).toBe(1)
  expect(await move(dose, right.cardNumber)).toMatchObject({
    status: 409,
    body: { code: 'dose-already-voided' },
  })

  expect(await move(moved, wrong.cardNumber)).toMatchObject({ status: 200 })
  expect([await next(wrong), await next(right)]).toEqual([2, 1])
  expect(await coverage()).toBe(1)
})

test('a dose moved takes along how it was told and the vial it was drawn from, which gives no dose more', async () => {
  const { district, right, doses, move } = await twoChildren()
  const third = await district.enrol({ name: 'Neema Moyo', birthDate: '2026-01-20', isKnownToBeNew: true })
  await ask(district.vaccinator, 'OPENED BOPV L4471B 05/2027')
  await ask(district.vaccinator, `GAVE ${third.cardNumber} OPV V 101`)
  const [dose] = await doses(third)
  const drawn = async () => {
    const { body } = await call('GET', `/v1/districts/${district.id}/vials`, { token: district.token })
    const vial = z.object({ unitsDrawn: z.int(), unitsLeft: z.int() })
    return z.object({ vials: z.array(vial) }).parse(body).vials
  }
  const before = await drawn()
  expect(before).toEqual([{ unitsDrawn: 1, unitsLeft: 9 }])

  expect(await move(dose, right.cardNumber)).toMatchObject({ status: 200 })

  const [moved] = await doses(right)
  expect(moved).toMatchObject({ vaccine: 'BOPV', recordedVia: 'sms', vial: { number: 101 } })
  expect(await drawn()).toEqual(before)
})

test('a card that is wrong, of the same child or of another district moves nothing', async () => {
  const { wrong, right, doses, move } = await twoChildren()
  const [dose] = await doses(wrong)
  const elsewhere = await (await newDistrict(service)).enrol({ name: 'Neema Moyo', birthDate: '2026-01-20' })

  expect(await move(dose, '12345')).toMatchObject({ status: 422, body: { code: 'card-length' } })
  expect(await move(dose, wrong.cardNumber)).toMatchObject({ status: 422, body: { code: 'same-child' } })
  expect(await move(dose, elsewhere.cardNumber)).toMatchObject({
    status: 404,
    body: { code: 'child-not-found' },
  })

  expect(await doses(wrong)).toMatchObject([{ withdrawnAt: null }])
  expect(await doses(right)).toEqual([])
})

test('the page of the child moves it, and shows it there as moved', async () => {
  const { district, wrong, right, doses } = await twoChildren()
  const [dose] = await doses(wrong)
  const visitor = pageVisitor(service.address)
  await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
  const page = `/districts/${district.id}/children/${wrong.id}`
  const formToken = fieldOf(await visitor.get(page), 'formToken')

  const moved = await visitor.post(`/districts/${district.id}/doses/${dose?.id ?? ''}/move`, {
    formToken,
    card: right.cardNumber,
  })

  expect(moved).toMatchObject({ status: 303, location: `/districts/${district.id}/children/${right.id}` })
  expect((await visitor.get(page)).text).toMatch(/withdrawn: given to another child: moved to card/)
})
