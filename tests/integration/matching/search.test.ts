import { z } from 'zod'
import { readDataFile } from '../../../src/platform/data-files.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { call } = service

const answer = z.object({
  children: z.array(z.record(z.string(), z.unknown())),
  more: z.number(),
})

async function aDistrict() {
  const district = await newDistrict(service)
  const search = (facts: Record<string, string>) =>
    call('GET', `/v1/districts/${district.id}/candidates?${new URLSearchParams(facts).toString()}`, {
      token: district.token,
    })
  const names = async (facts: Record<string, string>) =>
    answer.parse((await search(facts)).body).children.map(({ name }) => name)
  return { district, search, names }
}

describe('searching a child', () => {
  test('takes two facts, and the setting can ask for more without a release', async () => {
    const { district, search } = await aDistrict()
    await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
    expect(await search({ name: 'Asha' })).toMatchObject({
      status: 422,
      body: { code: 'search-needs-facts' },
    })
    expect(await search({ name: 'Asha', birth: '2026' })).toMatchObject({ status: 200 })

    const rules = z.record(z.string(), z.unknown()).parse(readDataFile('matching/search.json'))
    const set = await call('PUT', `/v1/districts/${district.id}/search-rules`, {
      token: district.token,
      body: { ...rules, factsRequired: ['village'] },
    })
    expect(set).toMatchObject({ status: 200 })
    expect(await search({ name: 'Asha', birth: '2026' })).toMatchObject({ status: 422 })
    expect(await search({ name: 'Asha', village: district.villageId('Mbari') })).toMatchObject({
      status: 200,
    })
  })

  test('lists the likeliest first, with card, name, birth date and village and no more', async () => {
    const { district, search } = await aDistrict()
    const asha = await district.enrol({ name: 'Asha Temba', birthDate: '2026-01-20' })
    const aisha = await district.enrol({ name: 'Aisha Temba', birthDate: '2026-01-28' })
    await district.enrol({ name: 'Juma Otieno', birthDate: '2026-01-20' })

    const { body } = await search({ name: 'asha temba', birth: '2026-01-20' })

    expect(body).toEqual({
      children: [asha, aisha].map(({ id, cardNumber, name, birthDate, village }) => ({
        id,
        cardNumber,
        name,
        birthDate,
        villageId: village.id,
      })),
      more: 0,
    })
  })

  test('finds a baby that was named later by either name, with its number, doses and visit unchanged', async () => {
    const { district, names } = await aDistrict()
    const baby = await district.enrol({ name: 'Baby of Neema', birthDate: '2026-02-20' })
    const doses = { vaccines: ['BCG'], givenOn: '2026-03-03' }
    await call('POST', `/v1/children/${baby.id}/doses`, { token: district.token, body: doses })
    const before = await district.child(baby.id)
    const named = await call('PATCH', `/v1/children/${baby.id}`, {
      token: district.token,
      body: { name: 'Zawadi Mushi' },
    })

    expect(named.body).toEqual({ ...before, name: 'Zawadi Mushi' })
    expect(await names({ name: 'Baby of Nema', birth: '2026-02' })).toEqual(['Zawadi Mushi'])
    expect(await names({ name: 'Zawadi', birth: '2026-02' })).toEqual(['Zawadi Mushi'])
  })

  test('finds a child by the last digits of its family’s phone and the village', async () => {
    const { district, names } = await aDistrict()
    const phone = district.newPhone()
    await district.enrol({ name: 'Asha Temba', phone })
    await district.enrol({ name: 'Juma Otieno', phone: null })

    expect(await names({ phone: phone.slice(-4), village: district.villageId('Mbari') })).toEqual([
      'Asha Temba',
    ])
  })

  test('asks for another fact where too many children would have to be compared', async () => {
    const { district, search } = await aDistrict()
    await district.enrol({ name: 'Asha Temba' })
    await district.enrol({ name: 'Juma Otieno' })
    const rules = z.record(z.string(), z.unknown()).parse(readDataFile('matching/search.json'))
    await call('PUT', `/v1/districts/${district.id}/search-rules`, {
      token: district.token,
      body: { ...rules, comparedAtMost: 1 },
    })
    expect(await search({ name: 'Asha', birth: '2026' })).toMatchObject({
      status: 422,
      body: { code: 'search-too-wide' },
    })
  })
})
