/** Temperatures and stock by text, until they stand on the manager's pages. */
import { randomUUID } from 'node:crypto'
import { DateTime } from 'luxon'
import { pageVisitor } from '../support/page-server.ts'
import type { PageVisitor } from '../support/page-server.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict } from '../support/test-district.ts'
import type { TestDistrict } from '../support/test-district.ts'

const service = await runningService('2026-03-03T10:00+03:00')
const { address, ask, call, clock, deliver, inbox, tokenFor } = service

async function pagesOf(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(address)
  const token = await tokenFor('manager', district.id)
  await visitor.post('/sign-in/token', { token, next: '/district' })
  return visitor
}

async function aDistrict(): Promise<TestDistrict> {
  clock.moveTo('2026-03-03T10:00+03:00')
  return newDistrict(service)
}

describe('a temperature by text', () => {
  test('between 2 and 8 °C is noted, and nobody is alarmed', async () => {
    const district = await aDistrict()
    expect(await ask(district.vaccinator, 'TEMP 4.5')).toBe('4.5 C is noted.')
    await deliver()
    expect(inbox(district.manager)).toEqual([])
  })

  // 2 to 8 °C, frozen IPV is discarded: common practice, no source; shake test: Kartoglu et al., Bull WHO 2010.
  test('of frost names the vials: frozen IPV to discard, adsorbed vaccines to ask about, OPV left alone', async () => {
    const district = await aDistrict()
    const { vaccinator, manager } = district
    for (const vaccine of ['FIPV', 'PENTA', 'BOPV']) await ask(vaccinator, `OPENED ${vaccine} L1 05/2027`)

    expect(await ask(vaccinator, 'TEMP -1')).toBe(
      '-1 C is too cold. Do not use vaccines that must not freeze; keep them apart and ask your supervisor now. ' +
        'May have been frozen, discard: 101 FIPV. ' +
        'Do not use, ask your supervisor (shake test where your policy allows it): 102 PENTA.',
    )
    await deliver()
    expect(inbox(manager).at(-1)).toBe('Ford: the fridge is at -1 C. Please help the post, then send SEEN 1')
    clock.advance({ hours: 2 })
    expect(await ask(vaccinator, 'TEMP 9')).toMatch(
      /^9 C is too warm\. .* Look at the monitor of: .*103 BOPV/,
    )
    clock.advance({ hours: 2 })
    await ask(vaccinator, 'TEMP 5')
    const { text } = await (await pagesOf(district)).get(`/districts/${district.id}/cold-chain`)
    expect(text).toContain('too cold: 1')
    expect(text).toContain('too warm: 1')
    const { token } = district
    expect((await call('GET', `/v1/districts/${district.id}/alerts`, { token })).body).toEqual({ alerts: [] })
  })

  test('taken from a logger twice is stored once, and a bad row is named', async () => {
    const district = await aDistrict()
    const csv = 'When,Degrees\n2026-03-02 10:00,1.2\n2026-03-02 12:00,0.9\noops,5\n'
    const body = { postId: await district.postId('Ford'), columns: { time: 'When', celsius: 'Degrees' }, csv }
    const send = () =>
      call('POST', `/v1/districts/${district.id}/temperatures/logger`, { token: district.token, body })

    expect((await send()).body).toMatchObject({
      stored: 2,
      problems: [{ line: 4, column: 'When', code: 'time-unreadable' }],
      excursions: [{ code: 'too-cold', worstC: 0.9, readings: 2 }],
    })
    expect((await send()).body).toMatchObject({ stored: 0 })
  })
})

test('a store too small for the next session is told before the child comes, until it is enough', async () => {
  const district = await aDistrict()
  const { vaccinator, manager, token, id } = district
  const postId = await district.postId('Ford')
  for (let child = 0; child < 12; child += 1)
    await district.enrol({
      name: `Child ${'ABCDEFGHIJKL'.charAt(child).repeat(5)}`,
      birthDate: '2026-01-10',
      isKnownToBeNew: true,
    })

  // 12 due × 0.8 × 100 ÷ 75 ÷ 10 = 1.28, rounded up (WHO indicative wastage 25 % for liquid vials of ten).
  const needs = await call('GET', `/v1/districts/${id}/needs?post=${postId}`, { token })
  expect(needs.body).toMatchObject({ sessionOn: '2026-03-03' })
  expect(JSON.stringify(needs.body)).toContain('"vaccine":"BOPV","due":12')
  expect(JSON.stringify(needs.body)).toMatch(/2 BOPV/)

  expect(await ask(vaccinator, 'STOCK BOPV 1')).toBe(
    'Stock noted: 1 BOPV. In store there is too little: 1 BOPV.',
  )
  await deliver()
  expect(inbox(manager).at(-1)).toBe(
    'Ford has too little for its next session: 1 BOPV. Please help, then send SEEN 1',
  )
  const page = async () => (await (await pagesOf(district)).get(`/districts/${id}/supplies`)).text
  expect(await page()).toMatch(/short<\/strong>/)
  expect(await ask(vaccinator, 'STOCK BOPV 20 vials')).toBe('Stock noted: 20 BOPV.')
  expect(await page()).not.toMatch(/short<\/strong>/)
  expect((await call('GET', `/v1/districts/${id}/alerts`, { token })).body).toEqual({ alerts: [] })
  expect(await ask(vaccinator, 'UNDO')).toContain('20 BOPV')
})

// Reasons of closed vials: WHO immunization data dictionary, I.DE48 to 53. The sum: every vial is somewhere.
test('what comes into a store and what is thrown away closed stand in its ledger, which adds up', async () => {
  const district = await aDistrict()
  const { vaccinator, token, id } = district
  const post = await district.postId('Ford')
  await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-10' })
  const bopv = async () => {
    const { body } = await call('GET', `/v1/districts/${id}/needs?post=${post}`, { token })
    const { needs } = body as { readonly needs: readonly { readonly vaccine: string }[] }
    return needs.find(({ vaccine }) => vaccine === 'BOPV')
  }

  expect(await ask(vaccinator, 'STOCK BOPV 10')).toBe('Stock noted: 10 BOPV.')
  expect(await ask(vaccinator, 'STOCK BOPV +30 doses')).toBe('Stock noted: +3 BOPV.')
  expect(await ask(vaccinator, 'STOCK BOPV - 2 broken')).toBe('Stock noted: -2 BOPV.')
  expect(await ask(vaccinator, 'STOCK BOPV -1')).not.toMatch(/noted/)
  expect(await ask(vaccinator, 'STOCK BOPV -1 end of session')).not.toMatch(/noted/)
  await ask(vaccinator, 'OPENED BOPV L1 05/2027')
  expect(await bopv()).toMatchObject({
    onHand: 10,
    ledger: { broughtIn: 3, corrected: 10, opened: 1, closedWaste: 2 },
  })
  const page = await (await pagesOf(district)).get(`/districts/${id}/supplies`)
  expect(page.text).toContain('Thrown away closed')

  const body = { postId: post, counts: [{ vaccine: 'BOPV', count: 4, kind: 'discarded-closed' }] }
  const unexplained = await call('POST', `/v1/districts/${id}/stock`, { token, body })
  expect(unexplained.body).toMatchObject({ code: 'discard-reason-missing' })
  await call('POST', `/v1/districts/${id}/stock`, { token, body: { ...body, reason: 'expired' } })
  expect(await bopv()).toMatchObject({ onHand: 6, ledger: { closedWaste: 6 } })
})

test('a post that has held enough sessions plans by who came to them, and by the planning range until then', async () => {
  const district = await aDistrict()
  const { token, id } = district
  const post = await district.postId('Ford')
  const children: string[] = []
  for (const letter of 'ABCDEFGHIJ')
    children.push((await district.enrol({ name: letter.repeat(5), isKnownToBeNew: true })).id)
  const villageId = district.villageId('Mbari')
  const held = (day: string, came: number) =>
    service.database.db.appointment.createMany({
      data: children.map((childId, place) => ({
        id: randomUUID(),
        ...{ districtId: id, childId, villageId, doses: [], scheduleCode: 'who-2025-preferred' },
        sessionOn: new Date(day),
        status: place < came ? 'kept' : 'missed',
        reason: place < came ? null : 'did-not-come',
        createdAt: clock.now(),
        closedAt: clock.now(),
      })),
    })
  const attendance = async () => {
    const { body } = await call('GET', `/v1/districts/${id}/needs?post=${post}`, { token })
    return (body as { readonly attendance: unknown }).attendance
  }

  await held('2026-02-03', 5)
  await held('2026-02-10', 6)
  await held('2026-02-17', 7)
  // More than half a year ago: no part of it.
  await held('2025-08-26', 0)
  expect(await attendance()).toEqual({ low: 0.6, expected: 0.8, high: 1 })
  await held('2026-02-24', 8)
  expect(await attendance()).toEqual({ low: 0.5, expected: 26 / 40, high: 0.8 })
})

test('vials carried to a session and brought back are followed, and are no loss of the post', async () => {
  const district = await aDistrict()
  const { vaccinator, manager, token, id } = district
  const post = await district.postId('Ford')
  await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-10' })
  const bopv = async () => {
    const { body } = await call('GET', `/v1/districts/${id}/needs?post=${post}`, { token })
    const { needs } = body as { readonly needs: readonly { readonly vaccine: string }[] }
    return needs.find(({ vaccine }) => vaccine === 'BOPV')
  }

  await ask(vaccinator, 'STOCK BOPV 3')
  // All the store holds goes to the session: the post still has them, so nobody is alarmed.
  expect(await ask(vaccinator, 'STOCK CARRIED BOPV 3')).toBe('Carried to the session: 3 BOPV.')
  expect(await bopv()).toMatchObject({ onHand: 3, ledger: { inStore: 0, out: 3 } })
  expect((await call('GET', `/v1/districts/${id}/alerts`, { token })).body).toEqual({ alerts: [] })
  const page = await (await pagesOf(district)).get(`/districts/${id}/supplies`)
  expect(page.text).toContain('Out at a session')

  await ask(vaccinator, 'OPENED BOPV L1 05/2027')
  expect(await bopv()).toMatchObject({ onHand: 2, ledger: { inStore: 0, out: 2, opened: 1 } })
  expect(await ask(vaccinator, 'STOCK BACK BOPV 2')).toBe('Back in the store: 2 BOPV.')
  expect(await bopv()).toMatchObject({ onHand: 2, ledger: { corrected: 3, inStore: 2, out: 0, opened: 1 } })
  expect(await ask(vaccinator, 'UNDO')).toContain('2 BOPV')
  const body = { postId: post, counts: [{ vaccine: 'BOPV', count: 2, kind: 'brought-back' }] }
  await call('POST', `/v1/districts/${id}/stock`, { token, body })
  expect(await bopv()).toMatchObject({ ledger: { inStore: 2, out: 0 } })
  await deliver()
  expect(inbox(manager)).toEqual([])
})

test('closed vials of a post are told apart by lot where the lot was told, by text and over the API', async () => {
  const district = await aDistrict()
  const { vaccinator, token, id } = district
  const postId = await district.postId('Ford')
  await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-10' })

  await ask(vaccinator, 'STOCK BOPV 4')
  expect(await ask(vaccinator, 'STOCK BOPV +6 lot l4471b')).toBe('Stock noted: +6 BOPV L4471B.')
  const counts = [{ vaccine: 'BOPV', count: 5, kind: 'received', lot: 'x9' }]
  await call('POST', `/v1/districts/${id}/stock`, { token, body: { postId, counts } })
  await ask(vaccinator, 'OPENED BOPV L4471B 05/2027')

  const { body } = await call('GET', `/v1/districts/${id}/needs?post=${postId}`, { token })
  const { needs } = body as { readonly needs: readonly { readonly vaccine: string }[] }
  const nothing = { corrected: 0, out: 0, opened: 0, closedWaste: 0 }
  expect(needs.find(({ vaccine }) => vaccine === 'BOPV')).toMatchObject({
    onHand: 14,
    ledger: {
      lots: [
        { ...nothing, lot: 'L4471B', broughtIn: 6, inStore: 5, opened: 1 },
        { ...nothing, lot: 'X9', broughtIn: 5, inStore: 5 },
        { ...nothing, lot: null, broughtIn: 0, corrected: 4, inStore: 4 },
      ],
    },
  })
  const page = await (await pagesOf(district)).get(`/districts/${id}/supplies`)
  expect(page.text).toContain('L4471B 5, X9 5, not told 4')
})

// A dry vial needs its own diluent and a syringe to mix it; one auto-disable syringe a dose: common practice, no source.
test('on the eve of a session its vaccinators are told once what to carry, with syringes and diluents', async () => {
  const district = await aDistrict()
  const { vaccinator, token, id } = district
  // Nine months on 1 March 2026: MR and BCG, which are dry, are due with all the others.
  await district.enrol({ name: 'Asha Temba', birthDate: '2025-06-01' })
  const { body } = await call('GET', `/v1/districts/${id}/needs?post=${await district.postId('Ford')}`, {
    token,
  })
  const { sessionOn } = body as { readonly sessionOn: string }
  const carried = () => inbox(vaccinator).filter((text) => text.includes('Carry: '))
  const eve = DateTime.fromISO(sessionOn).minus({ days: 1 }).toISODate() ?? ''

  clock.moveTo(`${eve}T11:30+03:00`)
  await service.closeDay()
  await deliver()
  expect(carried()).toEqual([])
  clock.moveTo(`${eve}T12:10+03:00`)
  await service.closeDay()
  clock.advance({ minutes: 10 })
  await service.closeDay()
  await deliver()

  expect(carried()).toHaveLength(1)
  expect(carried()[0]).toBe(
    'Ford, Tue 3 Mar. Carry: 1 BCG, 1 BOPV, 1 FIPV(5), 1 MR, 1 PCV, 1 PENTA, 1 ROTA. ' +
      'Syringes: 1 x 0.05 ml, 1 x 0.1 ml, 3 x 0.5 ml. Diluents, each with a syringe to mix it: 2.',
  )
  expect(body).toMatchObject({ materials: { diluents: 2, safetyBoxes: 1 } })
})

test('where an opened vial does for all who are due, no closed one is to be carried and it is named', async () => {
  const district = await aDistrict()
  const { vaccinator, token } = district
  clock.moveTo('2026-03-02T10:00+03:00')
  await ask(vaccinator, 'OPENED BOPV L4471B 05/2027')
  const child = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-10' })
  const vaccines = ['BCG', 'HEPB', 'PENTA', 'PCV', 'ROTA']
  const body = { vaccines, givenOn: '2026-03-01', isElsewhere: true }
  expect(await call('POST', `/v1/children/${child.id}/doses`, { token, body })).toMatchObject({ status: 201 })
  clock.moveTo('2026-03-02T12:10+03:00')
  await service.closeDay()
  await deliver()

  expect(inbox(vaccinator).at(-1)).toBe('Ford, Tue 3 Mar. Carry no closed vial. Take the opened vials: 101.')
})

test('HELP with a vaccine tells what to ask before it, and decides nothing', async () => {
  const district = await aDistrict()

  // A blocked bowel before is a precaution for rotavirus vaccine (WHO position paper, from memory).
  expect(await ask(district.vaccinator, 'HELP ROTA')).toMatch(
    /^Before ROTA ask: .*a blocked bowel before.* ask your supervisor; do not decide alone\. A mild illness is no reason to wait\. Follow your national guideline\.$/,
  )
})
