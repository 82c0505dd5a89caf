/** A district to practise in: everything is worked through, and nothing leaves to a phone. */
import { z } from 'zod'
import { makeSignInLink } from '../../src/app/pages/sign-in.ts'
import { newSecret } from '../../src/platform/ids.ts'
import { fieldOf } from '../support/page-server.ts'
import { runningService } from '../support/running-service.ts'
import { newDistrict, phoneOf } from '../support/test-district.ts'

const service = await runningService('2026-03-02T09:00+03:00')
const { database, deps, handset } = service
const left: string[] = []
handset.onDelivered(({ to }) => void left.push(to))

const practice = await newDistrict(service, { district: { isTraining: true } })
const real = await newDistrict(service)

/** A manager's browser, signed in by a link that the operator made. */
async function browserOf(phone: string) {
  const path = await makeSignInLink(deps, { newSecret }, phone)
  const page = await fetch(`${service.address}${path}`)
  const link = fieldOf({ status: 200, text: await page.text(), headers: page.headers, location: '' }, 'link')
  const entered = await fetch(`${service.address}/sign-in/link`, {
    method: 'POST',
    body: new URLSearchParams({ link, next: '/district' }),
    redirect: 'manual',
  })
  const [cookie = ''] = entered.headers.getSetCookie().map((set) => set.split(';')[0] ?? '')
  return (path: string, body?: object) =>
    fetch(`${service.address}${path}`, {
      headers: { cookie, ...(body === undefined ? {} : { 'content-type': 'application/json' }) },
      ...(body === undefined ? {} : { method: 'POST', body: JSON.stringify(body) }),
    })
}

const textShape = z.array(z.object({ body: z.string(), isMine: z.boolean() }))

describe('a training district', () => {
  test('works through a month of visits and reminders, and no phone of it gets anything', async () => {
    const child = await practice.enrol({ birthDate: '2026-01-20' })
    const other = await real.enrol({ birthDate: '2026-01-20' })

    await service.liveThrough('2026-03-31T12:00+03:00')

    const texts = await database.db.textOut.findMany({ where: { districtId: practice.id } })
    expect(texts.filter(({ purpose }) => purpose === 'reminder').length).toBeGreaterThanOrEqual(3)
    expect(new Set(texts.map(({ gateway, status }) => `${gateway ?? ''} ${status}`))).toEqual(
      new Set(['practice delivered']),
    )
    expect(left).not.toContain(phoneOf(child))
    expect(left).not.toContain(practice.vaccinator)
    // The same month in a real district does reach its family.
    expect(left).toContain(phoneOf(other))
  })

  test('is practised on its page: texts and menus answer there and nowhere else', async () => {
    const child = await practice.enrol({ birthDate: '2026-03-01' })
    const ask = await browserOf(practice.manager)
    const page = `/districts/${practice.id}/practice`
    const before = left.length

    expect(await (await ask(page)).text()).toContain('no text leaves to a phone')
    await ask(`${page}/text`, { from: practice.vaccinator, body: `GAVE ${child.cardNumber} BCG` })
    const thread = await ask(`${page}/thread?number=${encodeURIComponent(practice.vaccinator)}`)
    const [mine, reply] = textShape.parse(await thread.json()).slice(-2)
    const screen = await ask(`${page}/dial`, { from: practice.vaccinator })

    expect(mine).toMatchObject({ isMine: true, body: `GAVE ${child.cardNumber} BCG` })
    expect(reply).toMatchObject({ isMine: false, body: expect.stringContaining('BCG') as string })
    expect(await screen.json()).toMatchObject({ ends: false })
    await service.deliver()
    expect(left).toHaveLength(before)
  })

  test('does not hear what real phones send, and its page never speaks for a real district', async () => {
    await handset.text(practice.vaccinator, 'DUE')
    await service.whenIdle()
    const [heard] = await database.db.textIn.findMany({ orderBy: { id: 'desc' }, take: 1 })
    expect(heard).toMatchObject({ districtId: null, personId: null })

    const ask = await browserOf(practice.manager)
    const page = `/districts/${practice.id}/practice`
    expect((await ask(`${page}/text`, { from: real.vaccinator, body: 'DUE' })).status).toBe(403)
    const askReal = await browserOf(real.manager)
    expect((await askReal(`/districts/${real.id}/practice`)).status).toBe(404)
  })

  test('stays one, and no child leaves it for a real district or comes from there', async () => {
    const { file } = practice
    const other = { ...file, district: { ...file.district, isTraining: false } }
    expect(await practice.load(other)).toMatchObject({ status: 409, body: { code: 'training-stays' } })

    const child = await practice.enrol({ birthDate: '2026-02-20' })
    const token = await service.tokenFor('officer')
    const body = { villageId: real.villageId('Mbari') }
    const moved = await service.call('POST', `/v1/children/${child.id}/move`, { token, body })
    expect(moved).toMatchObject({ status: 409, body: { code: 'training-stays' } })
  })
})
