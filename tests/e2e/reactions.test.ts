/** A reaction from its text until someone has taken it on, and a lot from a vial to the families it concerns. */
import { z } from 'zod'
import { fieldOf, pageVisitor } from '../support/page-server.ts'
import type { PageVisitor } from '../support/page-server.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'
import type { ChildJson, TestDistrict } from '../support/test-district.ts'

const service = await runningService('2026-03-03T10:00+03:00')
const { address, ask, call, clock, deliver, inbox, liveUntil, tokenFor } = service

const card = ({ cardNumber }: ChildJson): string => `${cardNumber.slice(0, 4)} ${cardNumber.slice(4)}`

async function pagesOf(district: TestDistrict): Promise<PageVisitor> {
  const visitor = pageVisitor(address)
  const token = await tokenFor('manager', district.id)
  await visitor.post('/sign-in/token', { token, next: '/district' })
  return visitor
}

/** A child that had OPV and PENTA on 3 March 2026, OPV from a vial of lot L4471B. */
async function vaccinated(district: TestDistrict, name: string): Promise<ChildJson> {
  const child = await district.enrol({ name, birthDate: '2026-01-10' })
  await ask(district.vaccinator, `GAVE ${child.cardNumber} OPV PENTA V 101`)
  return child
}

async function withVial(): Promise<TestDistrict> {
  clock.moveTo('2026-03-03T10:00+03:00')
  const district = await newDistrict(service)
  await ask(district.vaccinator, 'OPENED BOPV L4471B 05/2027')
  return district
}

describe('a serious reaction', () => {
  test('reaches the managers and the family at once, and stands on the page until it is taken on', async () => {
    const district = await withVial()
    const child = await vaccinated(district, 'Asha Temba')
    await liveUntil('2026-03-03T14:00+03:00')

    expect(await ask(district.vaccinator, `REACTION ${child.cardNumber} fits since noon`)).toBe(
      `Noted as serious for ${card(child)} Asha; the district is told. Send the child to the health centre now.`,
    )
    await deliver()
    expect(inbox(district.manager).at(-1)).toBe(
      `Serious reaction: card ${card(child)}, Mbari. Words: fits since noon. Please act now; when you have read this send SEEN 1`,
    )
    expect(inbox(phoneOf(child)).at(-1)).toBe(
      'Ford: please take Asha to the health centre now. Bring the card.',
    )
    const pages = await pagesOf(district)
    const path = `/districts/${district.id}/reactions`
    expect((await pages.get(path)).text).toMatch(/fits since noon[\s\S]*nobody yet/)

    expect(await ask(district.manager, 'SEEN 1')).toBe('Thank you, noted as read.')
    const seen = (await pages.get(path)).text
    expect(seen).not.toContain('nobody yet')
    expect(seen).toContain('Magnus Hill')
  })

  test('climbs after an hour that nobody took it on, and not again once someone has', async () => {
    const district = await withVial()
    const child = await vaccinated(district, 'Bahati Wood')
    await ask(district.vaccinator, `REACTION ${child.cardNumber} cannot breathe`)
    await deliver()
    const told = () => inbox(district.manager).filter((body) => body.includes(card(child)))
    expect(told()).toHaveLength(1)

    await liveUntil('2026-03-03T10:59+03:00')
    expect(told()).toHaveLength(1)
    await liveUntil('2026-03-03T11:00+03:00')
    expect(told().at(-1)).toMatch(/^Nobody has taken this on: serious reaction/)

    await ask(district.manager, 'SEEN')
    // 24 hours to the next level, 48 to an investigation (WHO Global manual on AEFI, from memory).
    await liveUntil('2026-03-04T10:00+03:00')
    expect(inbox(district.manager).at(-1)).toBe(
      'Alert 1: tell the next level today, as your national guideline says.',
    )
    await liveUntil('2026-03-05T10:00+03:00')
    expect(inbox(district.manager).at(-1)).toMatch(/^Alert 1: has the investigation begun\?/)
  })

  test('of which a child died is never texted to the family', async () => {
    const district = await withVial()
    const child = await vaccinated(district, 'Chidi Vale')
    await ask(district.vaccinator, `REACTION ${child.cardNumber} child died in the night`)
    await deliver()

    expect(inbox(district.manager).at(-1)).toMatch(/^Serious reaction/)
    expect(inbox(phoneOf(child)).filter((body) => body.includes('health centre now'))).toEqual([])
  })

  test('told by a family in its own words reaches the managers, and the answer says where to go', async () => {
    const district = await withVial()
    const child = await vaccinated(district, 'Dayo Hill')

    expect(await ask(phoneOf(child), 'my baby has fits and is floppy')).toBe(
      'Please take the child to the health centre now. Ford has been told and will read your text.',
    )
    await deliver()
    expect(inbox(district.manager).at(-1)).toContain('my baby has fits and is floppy')
  })
})

test('two reports after one vial are a cluster that goes to the officer like a serious one', async () => {
  const district = await withVial()
  const children = [await vaccinated(district, 'Asha Temba'), await vaccinated(district, 'Jasper Ivory')]
  for (const { cardNumber } of children) await ask(district.vaccinator, `REACTION ${cardNumber} mild fever`)
  await deliver()

  expect(inbox(district.manager).at(-1)).toMatch(/^Reactions together \(2: 101\)\. .* SEEN 1$/)
})

test('an earlier reaction warns the worker before the next dose, and never the parent', async () => {
  const district = await withVial()
  const child = await vaccinated(district, 'Ekene Marsh')
  await ask(district.vaccinator, `REACTION ${child.cardNumber} fits`)
  await ask(district.manager, 'SEEN')

  expect(await ask(district.vaccinator, `CARD ${child.cardNumber}`)).toContain(
    'A reaction was noted on Tue 3 Mar: ask your supervisor before the next dose.',
  )
  const due = await ask(district.vaccinator, 'DUE Mbari 10/03/2026')
  expect(due).toMatch(/Ekene: .* !\n! = a reaction was noted: ask your supervisor first\.$/)
  await liveUntil('2026-03-09T08:00+03:00')
  const texts = inbox(phoneOf(child))
  expect(texts).toContainEqual(expect.stringMatching(/^Ford: we expect Ekene on Tue 10 Mar/))
  expect(texts.filter((body) => /supervisor|reaction was noted/.test(body))).toEqual([])
})

test('the line list has all 25 core variables of WHO and names what is missing of the critical ones', async () => {
  const district = await withVial()
  const child = await vaccinated(district, 'Asha Temba')
  await ask(district.vaccinator, `REACTION ${child.cardNumber} fits`)
  const { token, id } = district
  const csv = async () => (await call('GET', `/v1/districts/${id}/reactions.csv`, { token })).body as string
  const [header = '', row = ''] = (await csv()).replace('\uFEFF', '').split('\r\n')

  expect(header.split(',')).toHaveLength(26)
  expect(row).toContain(
    `GB,Mbari,${card(child)},2026-01-10,female,,BOPV; PENTA,,L4471B,OPV 1; PENTA 1,2026-03-03`,
  )
  expect(row).toContain('Wanda Ford,Ford,vaccinator')
  expect(row.split(',').at(-1)).toContain('outcome')

  const reaction = await service.database.db.reaction.findFirstOrThrow({ where: { districtId: id } })
  const facts = { outcome: 'recovered', 'health-before': 'none known' }
  const changed = await call('PATCH', `/v1/reactions/${reaction.id}`, { token, body: { facts } })
  expect(changed.status).toBe(200)
  expect((await csv()).split('\r\n')[1]).toMatch(/none known.*recovered/)
})

test('a reaction dated before the first dose is refused, and a serious one is acted on all the same', async () => {
  const district = await withVial()
  const child = await vaccinated(district, 'Asha Temba')
  const { token } = district
  const at = `/v1/children/${child.id}/reactions`
  const early = await call('POST', at, { token, body: { words: 'fits', reactionOn: '2026-03-02' } })

  expect(early).toMatchObject({ status: 422, body: { code: 'reaction-before-dose' } })
  await deliver()
  expect(inbox(district.manager).at(-1)).toMatch(/^Serious reaction/)
  const future = await call('POST', at, { token, body: { words: 'sore arm', reactionOn: '2026-03-09' } })
  expect(future).toMatchObject({ status: 422, body: { code: 'reaction-in-future' } })
})

test('a lot leads to its children, and its recall is sent only after a manager confirmed it', async () => {
  const district = await withVial()
  const child = await vaccinated(district, 'Asha Temba')
  const mute = await district.enrol({ name: 'Bahati Wood', birthDate: '2026-01-10', phone: null })
  await ask(district.vaccinator, `GAVE ${mute.cardNumber} OPV V 101`)
  const other = await district.enrol({ name: 'Chidi Vale', birthDate: '2026-01-10' })
  await ask(district.vaccinator, `GAVE ${other.cardNumber} PENTA`)
  const pages = await pagesOf(district)
  const path = `/districts/${district.id}/lots/l4471b`

  const lot = await pages.get(path)
  expect(lot.text).toMatch(/1 vials, 2 doses/)
  expect(lot.text).toContain('Bahati Wood')
  expect(lot.text).not.toContain('Chidi Vale')
  const formToken = fieldOf(lot, 'formToken')
  const { location } = await pages.post(`${path}/recall`, { formToken, reason: 'asked by the ministry' })
  await deliver()
  const recalled = () => inbox(phoneOf(child)).filter((body) => body.includes('about a vaccine'))
  expect(recalled()).toEqual([])
  const recall = await pages.get(location)
  expect(recall.text).toMatch(/1 families by text; 1 children to be called/)

  expect((await pages.post(`${location}/send`, { formToken })).status).toBe(303)
  await deliver()
  expect(recalled()).toEqual([
    'Ford: we would like to see Asha again about a vaccine. Please come to Ford with the card, or ask us.',
  ])
  expect((await pages.post(`${location}/send`, { formToken })).status).toBe(409)
  const notes = await service.database.db.change.findMany({ where: { districtId: district.id } })
  expect(notes.map(({ act }) => act)).toEqual(
    expect.arrayContaining(['trace-lot', 'prepare-recall', 'confirm-recall']),
  )
})

test('who else had the same vial is told with hour, place and worker, on the page and over the API', async () => {
  const district = await withVial()
  const { id, token } = district
  const told = await vaccinated(district, 'Asha Temba')
  const stated = await district.enrol({ name: 'Bahati Wood', birthDate: '2026-01-10' })
  const later = await district.enrol({ name: 'Chidi Vale', birthDate: '2026-01-10' })
  const postId = await district.postId('Ford')
  const dose = { vaccines: ['BOPV'], givenOn: '2026-03-03', vial: '101', postId }
  const give = (child: ChildJson, givenTime: string) =>
    call('POST', `/v1/children/${child.id}/doses`, { token, body: { ...dose, givenTime } })
  expect(await give(later, '10:01')).toMatchObject({ status: 422, body: { code: 'dose-in-future' } })
  expect(await give(stated, '09:40')).toMatchObject({
    status: 201,
    body: { doses: [{ givenTime: '09:40', vialFlags: ['before-opening'] }] },
  })
  clock.moveTo('2026-03-04T09:00+03:00')
  await ask(district.vaccinator, `GAVE ${later.cardNumber} OPV 03/03/2026 V 101`)

  const { body } = await call('GET', `/v1/districts/${id}/vials`, { token })
  const [vial] = z.object({ vials: z.array(z.object({ id: z.string() })) }).parse(body).vials
  const where = { village: 'Mbari', post: 'Ford', vaccine: 'BOPV', vialNumber: 101 }
  const doses = [
    { ...where, childId: stated.id, givenTime: '09:40', givenBy: null, worker: 'officer' },
    { ...where, childId: told.id, givenTime: null, givenBy: '10:00', worker: 'Wanda Ford' },
    { ...where, childId: later.id, givenTime: null, givenBy: null, worker: 'Wanda Ford' },
  ]
  for (const path of [`/v1/vials/${vial?.id ?? ''}/doses`, `/v1/districts/${id}/lots/L4471B`])
    expect(await call('GET', path, { token })).toMatchObject({ status: 200, body: { doses } })

  const pages = await pagesOf(district)
  expect((await pages.get(`/districts/${id}/vials`)).text).toContain(`/districts/${id}/vials/101`)
  for (const path of ['/vials/101', '/lots/L4471B']) {
    const { text } = await pages.get(`/districts/${id}${path}`)
    expect(text).toMatch(/Bahati Wood[\s\S]*Tue 3 Mar 2026, 09:40[\s\S]*Ford[\s\S]*officer/)
    expect(text).toMatch(/Asha Temba[\s\S]*Tue 3 Mar 2026, by 10:00[\s\S]*Wanda Ford/)
    expect(text).toMatch(/Chidi Vale[\s\S]*Tue 3 Mar 2026<\/td>/)
  }
})
