/** Health posts beside a national list (requirements REG-21 to REG-23). */
import { z } from 'zod'
import { fieldOf, pageVisitor } from '../../support/page-server.ts'
import { runningService } from '../../support/running-service.ts'
import { newDistrict } from '../../support/test-district.ts'
import type { TestDistrict } from '../../support/test-district.ts'

const service = await runningService('2026-03-04T10:00+03:00')
const { ask, call } = service
beforeEach(service.empty)

const recordShape = z.object({
  id: z.string(),
  name: z.string(),
  nationalId: z.string().nullable(),
  kind: z.string(),
  untilOn: z.string().nullable(),
  gaps: z.array(z.string()),
})
const differenceShape = z.object({ id: z.string(), kind: z.string(), name: z.string().nullable() })

function postsOf({ id, token }: TestDistrict) {
  const at = `/v1/districts/${id}`
  const records = async () =>
    z.object({ posts: z.array(recordShape) }).parse((await call('GET', `${at}/post-records`, { token })).body)
      .posts
  const differences = async () =>
    z
      .object({ differences: z.array(differenceShape) })
      .parse((await call('GET', `${at}/post-differences`, { token })).body).differences
  return {
    records,
    differences,
    list: async (csv: string) => (await call('POST', `${at}/facility-list`, { token, body: { csv } })).body,
    decide: (difference: { readonly id: string } | undefined, isAccepted: boolean) =>
      call('POST', `${at}/post-differences/${difference?.id ?? ''}`, { token, body: { isAccepted } }),
    add: (body: object) => call('POST', `${at}/posts`, { token, body }),
    change: (postId: string, body: object) => call('PATCH', `${at}/posts/${postId}`, { token, body }),
  }
}

const LIST = 'national_id,name\nF-1,Ford\nF-2,Hill End\n'

describe('a national list of facilities', () => {
  test('changes nothing by itself, is asked once, and the same list again asks nothing', async () => {
    const posts = postsOf(await newDistrict(service))
    const before = await posts.records()

    expect(await posts.list(`${LIST}F-3,\n`)).toEqual({
      facilities: 2,
      asked: 2,
      odd: ['facility 3 lacks its national_id or name'],
    })
    expect(await posts.list(LIST)).toEqual({ facilities: 2, asked: 0, odd: [] })

    expect(await posts.records()).toEqual(before)
    expect((await posts.differences()).map(({ kind, name }) => [kind, name])).toEqual([
      ['same-name', 'Ford'],
      ['new', 'Hill End'],
    ])
  })

  test('is taken over where a person accepts: a number, a new post, and a new name only when asked', async () => {
    const posts = postsOf(await newDistrict(service))
    await posts.list(LIST)
    const [link, fresh] = await posts.differences()
    expect(await posts.decide(link, true)).toMatchObject({ status: 200 })
    expect(await posts.decide(fresh, true)).toMatchObject({ status: 200 })
    expect(await posts.decide(fresh, true)).toMatchObject({
      status: 409,
      body: { code: 'difference-decided' },
    })

    await posts.list('national_id,name\nF-1,Lower Ford\n')
    expect((await posts.records()).map(({ name }) => name)).toEqual(['Ford', 'Hill End'])
    const [renamed, gone] = await posts.differences()
    expect([renamed?.kind, gone?.kind]).toEqual(['renamed', 'not-listed'])
    await posts.decide(renamed, true)
    await posts.decide(gone, false)

    expect((await posts.records()).map(({ name, nationalId }) => [name, nationalId])).toEqual([
      ['Hill End', 'F-2'],
      ['Lower Ford', 'F-1'],
    ])
    expect(await posts.list('national_id,name\nF-1,Lower Ford\n')).toMatchObject({ asked: 0 })
    expect(await posts.list('no list at all')).toMatchObject({ code: 'facility-list-unreadable' })
  })

  test('is decided on from the page of posts', async () => {
    const district = await newDistrict(service)
    const posts = postsOf(district)
    await posts.list(LIST)
    const [link] = await posts.differences()
    const visitor = pageVisitor(service.address)
    await visitor.post('/sign-in/token', { token: await district.tokenFor('manager'), next: '/district' })
    const page = `/districts/${district.id}/posts`
    const shown = await visitor.get(page)
    const formToken = fieldOf(shown, 'formToken')
    const { text } = shown
    expect(text).toMatch(/Ford has the number F-1\./)
    expect(text).toMatch(/Hill End \(F-2\) is no post here\./)

    const decided = await visitor.post(`/districts/${district.id}/post-differences/${link?.id ?? ''}`, {
      formToken,
      take: 'yes',
    })
    expect(decided.status).toBe(303)
    const added = await visitor.post(`${page}/add`, {
      formToken,
      name: 'Market',
      nationalId: '',
      kind: 'temporary',
      untilOn: '2026-03-31',
    })
    expect(added.status).toBe(303)

    expect((await visitor.get(page)).text).toMatch(/Market<\/th>[\s\S]*for a time until Tue 31 Mar 2026/)
    expect((await posts.records())[0]).toMatchObject({ name: 'Ford', nationalId: 'F-1' })
  })
})

test('a post added by hand for a time becomes permanent, and its doses and counts stay with it', async () => {
  const district = await newDistrict(service)
  const posts = postsOf(district)
  const { id: postId } = z
    .object({ id: z.string() })
    .parse((await posts.add({ name: 'Market', kind: 'temporary', untilOn: '2026-03-31' })).body)
  expect(await posts.add({ name: 'Market' })).toMatchObject({ status: 409, body: { code: 'post-taken' } })
  expect(await posts.add({ name: 'Fair', untilOn: '2026-03-31' })).toMatchObject({
    body: { code: 'post-end-odd' },
  })
  await service.database.pool.query('update person set post_id = $1 where phone is not null and role = $2', [
    postId,
    'vaccinator',
  ])
  const child = await district.enrol({ birthDate: '2026-01-20' })
  await ask(district.vaccinator, `GAVE ${child.cardNumber} PENTA 03/03/2026`)
  const given = () =>
    call('GET', `/v1/districts/${district.id}/doses-given?from=2026-03-01&to=2026-03-31&by=post`, {
      token: district.token,
    })
  const before = (await given()).body
  expect(before).toMatchObject({ parts: [{ part: 'Market', doses: 1 }] })

  expect((await posts.change(postId, { kind: 'permanent' })).body).toMatchObject({
    kind: 'permanent',
    untilOn: null,
  })

  expect((await given()).body).toEqual(before)
  expect((await call('GET', `/v1/children/${child.id}/doses`, { token: district.token })).body).toMatchObject(
    {
      doses: [{ vaccine: 'PENTA' }],
    },
  )
})

test('what the record of a post lacks is told the same day', async () => {
  const posts = postsOf(await newDistrict(service))
  const gapsOf = async (name: string) => (await posts.records()).find((post) => post.name === name)?.gaps
  expect(await gapsOf('Ford')).toEqual(['national-id'])
  const [ford] = await posts.records()
  await posts.change(ford?.id ?? '', { nationalId: 'F-1' })
  expect(await gapsOf('Ford')).toEqual([])

  await posts.change(ford?.id ?? '', { nationalId: null })
  await posts.add({ name: 'Market', nationalId: 'F-7', kind: 'outreach', untilOn: '2026-03-03' })

  expect(await gapsOf('Ford')).toEqual(['national-id'])
  expect(await gapsOf('Market')).toEqual(['session-days', 'villages', 'vaccinator', 'time-is-over'])
})
