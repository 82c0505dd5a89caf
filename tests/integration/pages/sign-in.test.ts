/** Ways into the pages, and what keeps others out. */
import { makeSignInLink } from '../../../src/app/pages/sign-in.ts'
import { makeToken } from '../../../src/app/tokens.ts'
import type { TokenRole } from '../../../src/app/tokens.ts'
import { districtRouter } from '../../../src/http/pages/district-router.ts'
import { newSecret } from '../../../src/platform/ids.ts'
import { fieldOf, loadTestDistrict, openPageServer, queryOf } from '../../support/page-server.ts'
import type { PageReply, PageVisitor } from '../../support/page-server.ts'

const START = '2026-03-02T09:00Z'
const server = await openPageServer(START)
const { clock, database, deps } = server
const { db } = database

const MANAGER = '+447700900001'
const VACCINATOR = '+447700900002'
const STRANGER = '+447700900999'

let districtId = ''
beforeAll(async () => {
  const file = {
    district: {
      name: 'Two Rivers',
      timeZone: 'Africa/Nairobi',
      region: 'GB',
      schedule: 'who-2025-preferred',
    },
    posts: [{ name: 'Ford post', sessions: ['FREQ=WEEKLY;BYDAY=MO'] }],
    villages: [{ name: 'Amber Ford', post: 'Ford post' }],
    people: [
      { name: 'Imara Holt', role: 'manager', phone: MANAGER },
      { name: 'Juma Reed', role: 'vaccinator', phone: VACCINATOR, post: 'Ford post' },
    ],
  }
  districtId = (await loadTestDistrict(server, file)).id
})

interface Layer {
  readonly route?: { readonly path: string; readonly methods: Readonly<Record<string, boolean>> }
}

/** Where the pages of a district take forms. */
function formPaths(): string[] {
  const layers = districtRouter(deps).stack as unknown as Layer[]
  return layers.flatMap(({ route }) => (route?.methods['post'] === true ? [route.path] : []))
}

/** Each test begins a day later, so that no test counts another's tries. */
let day = 0
beforeEach(() => {
  day += 1
  clock.moveTo(START)
  clock.advance({ days: day })
})

/** The codes texted to a number, oldest first. */
async function codesTo(number: string): Promise<string[]> {
  const texts = await db.textOut.findMany({
    where: { number, createdAt: { gte: new Date(clock.now().getTime() - 3_600_000) } },
    orderBy: { id: 'asc' },
  })
  return texts.map(({ body }) => /\d{6}/.exec(body)?.[0] ?? '')
}

async function askForCode(visitor: PageVisitor, number: string): Promise<PageReply> {
  const { location } = await visitor.post('/sign-in/number', { number })
  return visitor.get(location)
}

async function typeCode(visitor: PageVisitor, page: PageReply, code: string): Promise<PageReply> {
  return visitor.post('/sign-in/code', { id: fieldOf(page, 'id'), next: '/district', code })
}

async function signedInVisitor(): Promise<PageVisitor> {
  const visitor = server.visitor()
  const page = await askForCode(visitor, MANAGER)
  const [code = ''] = await codesTo(MANAGER)
  expect((await typeCode(visitor, page, code)).location).toBe('/district')
  return visitor
}

const wrong = (code: string): string => String((Number(code) + 1) % 1_000_000).padStart(6, '0')

async function tokenFor(role: TokenRole) {
  return makeToken(deps, newSecret, { name: role, role, districtId, expiresAt: null })
}

describe('a code sent to the phone on record', () => {
  test('lets a manager in, typed with spaces or not', async () => {
    const visitor = server.visitor()
    const page = await askForCode(visitor, '07700 900001')
    const [code = ''] = await codesTo(MANAGER)

    await typeCode(visitor, page, `${code.slice(0, 3)} ${code.slice(3)}`)
    const home = await visitor.get('/district')

    expect(home.location).toBe(`/districts/${districtId}`)
    expect((await visitor.get(home.location)).text).toContain('Imara Holt')
  })

  test('goes as an urgent alert and is of no use after ten minutes', async () => {
    await askForCode(server.visitor(), MANAGER)

    const [text] = await db.textOut.findMany({ where: { number: MANAGER }, orderBy: { id: 'desc' }, take: 1 })
    expect(text).toMatchObject({ purpose: 'alert', isUrgent: true, parts: 1 })
    expect(text?.usefulUntil?.getTime()).toBe(clock.now().getTime() + 600_000)
  })

  test('is answered alike for unknown numbers, which get no text', async () => {
    const known = await server.visitor().post('/sign-in/number', { number: MANAGER })
    const unknown = await server.visitor().post('/sign-in/number', { number: STRANGER })

    const withoutId = (reply: PageReply) =>
      [reply.status, reply.text, reply.location].join().replace(/id=[\w-]+/g, '')
    expect(withoutId(unknown)).toBe(withoutId(known))
    expect(await codesTo(STRANGER)).toEqual([])
  })

  test('is not sent to a vaccinator, whose pages these are not', async () => {
    await askForCode(server.visitor(), VACCINATOR)

    expect(await codesTo(VACCINATOR)).toEqual([])
  })

  test('lets nobody in a second time', async () => {
    const visitor = server.visitor()
    const page = await askForCode(visitor, MANAGER)
    const [code = ''] = await codesTo(MANAGER)
    await typeCode(visitor, page, code)

    const again = await typeCode(server.visitor(), page, code)

    expect(queryOf(again.location, 'failed')).toBe('code')
  })

  test('lets nobody in after ten minutes', async () => {
    const visitor = server.visitor()
    const page = await askForCode(visitor, MANAGER)
    const [code = ''] = await codesTo(MANAGER)
    clock.advance({ minutes: 10 })

    expect(queryOf((await typeCode(visitor, page, code)).location, 'failed')).toBe('code')
  })

  test('is spent by five wrong tries, and the number is locked for a quarter of an hour', async () => {
    const visitor = server.visitor()
    const page = await askForCode(visitor, MANAGER)
    const [code = ''] = await codesTo(MANAGER)
    for (let tries = 0; tries < 5; tries += 1) await typeCode(visitor, page, wrong(code))

    expect(queryOf((await typeCode(visitor, page, code)).location, 'failed')).toBe('code')
    await askForCode(visitor, MANAGER)
    expect(await codesTo(MANAGER)).toHaveLength(1)

    clock.advance({ minutes: 16 })
    const fresh = await askForCode(visitor, MANAGER)
    const [, second = ''] = await codesTo(MANAGER)
    expect((await typeCode(visitor, fresh, second)).location).toBe('/district')
  })

  test('is not let in by tries that race', async () => {
    const page = await askForCode(server.visitor(), MANAGER)
    const [code = ''] = await codesTo(MANAGER)
    const tries = Array.from({ length: 12 }, () => typeCode(server.visitor(), page, wrong(code)))
    await Promise.all(tries)

    expect(queryOf((await typeCode(server.visitor(), page, code)).location, 'failed')).toBe('code')
    const { tries: counted } = await db.signInCode.findUniqueOrThrow({ where: { id: fieldOf(page, 'id') } })
    expect(counted).toBe(5)
  })

  test('goes out three times in a quarter of an hour and no more, however it is asked for', async () => {
    await Promise.all(Array.from({ length: 6 }, () => askForCode(server.visitor(), MANAGER)))

    expect(await codesTo(MANAGER)).toHaveLength(3)
  })

  test('stands nowhere in the sign-in tables, nor does the secret of the session', async () => {
    const visitor = await signedInVisitor()
    const [code = ''] = await codesTo(MANAGER)
    const kept = JSON.stringify([await db.signInCode.findMany(), await db.pageSession.findMany()])

    expect(kept).not.toContain(`"${code}"`)
    expect(kept).not.toContain(visitor.cookie().split('=')[1])
  })
})

describe('a link', () => {
  test('lets in once', async () => {
    const path = await makeSignInLink(deps, { newSecret }, MANAGER)
    const link = queryOf(path, 'link')
    const visitor = server.visitor()
    // Whatever looks at the address ahead of people does not use it up.
    await server.visitor().get(path)

    expect((await visitor.post('/sign-in/link', { link, next: '/district' })).location).toBe('/district')
    const again = await server.visitor().post('/sign-in/link', { link, next: '/district' })
    expect(queryOf(again.location, 'failed')).toBe('link')
  })

  test('lets nobody in after an hour', async () => {
    const link = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')
    clock.advance({ hours: 1 })

    const late = await server.visitor().post('/sign-in/link', { link, next: '/district' })
    expect(queryOf(late.location, 'failed')).toBe('link')
  })

  test('is made for nobody who may not read the pages', async () => {
    await expect(makeSignInLink(deps, { newSecret }, VACCINATOR)).rejects.toMatchObject({
      code: 'not-allowed',
    })
  })
})

describe('a token', () => {
  test.each(['manager', 'officer'] as const)('of a %s lets in', async (role) => {
    const visitor = server.visitor()
    const { secret } = await tokenFor(role)

    await visitor.post('/sign-in/token', { token: secret, next: '/district' })

    expect((await visitor.get('/district')).location).toBe(`/districts/${districtId}`)
  })

  test.each(['vaccinator', 'operator', 'machine'] as const)('of a %s does not', async (role) => {
    const { secret } = await tokenFor(role)

    const refused = await server.visitor().post('/sign-in/token', { token: secret, next: '/district' })

    expect(queryOf(refused.location, 'failed')).toBe('token')
  })

  test('that is revoked takes its sessions along', async () => {
    const visitor = server.visitor()
    const { id, secret } = await tokenFor('manager')
    await visitor.post('/sign-in/token', { token: secret, next: '/district' })
    await db.apiToken.update({ where: { id }, data: { revokedAt: clock.now() } })

    expect((await visitor.get('/district')).location).toMatch(/^\/sign-in/)
  })
})

describe('a session', () => {
  test('stands in a cookie that scripts and other sites do not get', async () => {
    const link = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')
    const { headers } = await server.visitor().post('/sign-in/link', { link, next: '/district' })

    expect(headers.getSetCookie()[0]).toMatch(/; Path=\/; HttpOnly; SameSite=Strict$/)
  })

  test('is cleared out of the browser by signing out, with the pages kept of it', async () => {
    const visitor = await signedInVisitor()
    const page = await visitor.get(`/districts/${districtId}`)

    const { headers } = await visitor.post('/sign-out', { formToken: fieldOf(page, 'formToken') })

    expect(headers.get('clear-site-data')).toBe('"cache", "storage"')
    expect(visitor.cookie()).toBe('duebell_session=')
  })

  test('goes over TLS only where TLS is used', async () => {
    const link = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')
    const behindProxy = { 'x-forwarded-proto': 'https' }
    const { headers } = await server.visitor().post('/sign-in/link', { link, next: '/district' }, behindProxy)

    expect(headers.getSetCookie()[0]).toMatch(/^__Host-duebell_session=.*; Path=\/; HttpOnly; Secure/)
    const cookie = headers.getSetCookie()[0]?.split(';')[0] ?? ''
    const back = (more: object) =>
      fetch(`${server.address}/district`, { headers: { cookie, ...more }, redirect: 'manual' })
    expect((await back(behindProxy)).headers.get('location')).toBe(`/districts/${districtId}`)
    expect((await back({})).headers.get('location')).toMatch(/^\/sign-in/)
  })

  test('ends when nobody used it for half an hour', async () => {
    const visitor = await signedInVisitor()
    clock.advance({ minutes: 29 })
    expect((await visitor.get('/district')).location).toBe(`/districts/${districtId}`)
    clock.advance({ minutes: 29 })
    expect((await visitor.get('/district')).location).toBe(`/districts/${districtId}`)

    clock.advance({ minutes: 30 })
    expect((await visitor.get('/district')).location).toMatch(/^\/sign-in/)
  })

  test('ends after twelve hours, used or not', async () => {
    const visitor = await signedInVisitor()
    for (let used = 0; used < 12 * 3 - 1; used += 1) {
      clock.advance({ minutes: 20 })
      await visitor.get('/district')
    }
    expect((await visitor.get('/district')).location).toBe(`/districts/${districtId}`)

    clock.advance({ minutes: 20 })
    expect((await visitor.get('/district')).location).toMatch(/^\/sign-in/)
  })

  test('ends for good by signing out', async () => {
    const visitor = await signedInVisitor()
    const page = await visitor.get(`/districts/${districtId}`)
    const stolen = visitor.cookie()
    await visitor.post('/sign-out', { formToken: fieldOf(page, 'formToken') })

    const answer = await fetch(`${server.address}/district`, {
      headers: { cookie: stolen },
      redirect: 'manual',
    })
    expect(answer.headers.get('location')).toMatch(/^\/sign-in/)
  })

  test('of a person who works here no more is over', async () => {
    const visitor = await signedInVisitor()
    await db.person.update({ where: { phone: MANAGER }, data: { isActive: false } })

    const { location } = await visitor.get('/district')
    await db.person.update({ where: { phone: MANAGER }, data: { isActive: true } })
    expect(location).toMatch(/^\/sign-in/)
  })
})

test('a wrong code, link or token is on the record, without what was typed', async () => {
  const visitor = server.visitor()
  const page = await askForCode(visitor, STRANGER)
  await typeCode(visitor, page, '000000')
  await visitor.post('/sign-in/link', { link: 'guessed', next: '/district' })
  await visitor.post('/sign-in/token', { token: 'guessed', next: '/district' })

  const refused = () =>
    db.change.findMany({ where: { act: 'refused', happenedAt: clock.now() }, orderBy: { id: 'asc' } })
  for (let look = 0; look < 100 && (await refused()).length < 3; look += 1) await Promise.resolve()
  const noted = await refused()
  expect(noted.map(({ actor, after }) => [actor, (after as { page: string }).page])).toEqual([
    ['nobody', 'POST /sign-in/code'],
    ['nobody', 'POST /sign-in/link'],
    ['nobody', 'POST /sign-in/token'],
  ])
  expect(JSON.stringify(noted)).not.toMatch(/guessed|000000|700900999/)
})

describe('forms and addresses', () => {
  test('every form of every page is refused without the token of its page', async () => {
    const visitor = await signedInVisitor()
    const nothing = '019abe80-0000-7000-8000-000000000000'

    const statuses = await Promise.all(
      formPaths().map(async (form) => {
        const path = form.replace(':districtId', districtId).replaceAll(/:\w+/g, nothing)
        return [form, (await visitor.post(path, { formToken: 'guessed' })).status]
      }),
    )

    expect(statuses.length).toBeGreaterThan(5)
    expect(statuses).toEqual(formPaths().map((form) => [form, 403]))
  })

  test('a form without the token of its page changes nothing', async () => {
    const visitor = await signedInVisitor()

    expect((await visitor.post('/sign-out', {})).status).toBe(403)
    expect((await visitor.post('/sign-out', { formToken: 'guessed' })).status).toBe(403)
    expect((await visitor.get('/district')).location).toBe(`/districts/${districtId}`)
  })

  test.each([{ 'sec-fetch-site': 'cross-site' }, { origin: 'https://elsewhere.example' }])(
    'a form sent by another site is refused (%j)',
    async (headers) => {
      const visitor = await signedInVisitor()
      const page = await visitor.get(`/districts/${districtId}`)

      const { status } = await visitor.post('/sign-out', { formToken: fieldOf(page, 'formToken') }, headers)

      expect(status).toBe(403)
      expect((await visitor.post('/sign-in/number', { number: MANAGER }, headers)).status).toBe(403)
    },
  )

  test.each([
    '//elsewhere.example',
    'https://elsewhere.example/districts',
    '/districts/\\elsewhere',
    '/sign-out',
  ])('signing in never leads to %s', async (next) => {
    const link = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')

    expect((await server.visitor().post('/sign-in/link', { link, next })).location).toBe('/district')
  })

  test('signing in leads back to the page that was asked for', async () => {
    const wanted = `/districts/${districtId}/coverage?dose=PENTA.1&sort=valid`
    const { location } = await server.visitor().get(wanted)
    const link = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')

    const next = queryOf(location, 'next')
    expect((await server.visitor().post('/sign-in/link', { link, next })).location).toBe(wanted)
  })

  test('pages load nothing inline or from elsewhere and are kept by no browser', async () => {
    const visitor = await signedInVisitor()

    const { headers, text } = await visitor.get(`/districts/${districtId}`)

    const policy = headers.get('content-security-policy') ?? ''
    expect(policy).toContain("default-src 'none'")
    expect(policy).not.toContain('unsafe')
    expect(text).not.toMatch(/ style=|<style| on[a-z]+=/)
    expect(headers.get('cache-control')).toBe('no-store')
  })
})

describe('the page People', () => {
  test('shows a code for a new PIN once, to be said, and makes none for oneself', async () => {
    const manager = await signedInVisitor()
    const page = await manager.get(`/districts/${districtId}/people`)
    const codeOf = async (phone: string): Promise<PageReply> => {
      const { id } = await db.person.findFirstOrThrow({ where: { phone } })
      const form = { formToken: fieldOf(page, 'formToken') }
      return manager.post(`/districts/${districtId}/people/${id}/pin-code`, form)
    }

    const made = await codeOf(VACCINATOR)
    const [, code = ''] = /code for Juma Reed is <strong>(\d{6})<\/strong>/.exec(made.text) ?? []
    expect(code).toMatch(/^\d{6}$/)
    const { text } = await manager.get(`/districts/${districtId}/people`)
    expect(text).not.toContain(code)
    expect(text).toContain('a code is made, no PIN chosen yet')
    expect((await codeOf(MANAGER)).status).toBe(403)
  })
})

describe('the page of own sessions', () => {
  test("shows a person every session they have, and ends one of them and nobody else's", async () => {
    const link = async (): Promise<PageVisitor> => {
      const visitor = server.visitor()
      const secret = queryOf(await makeSignInLink(deps, { newSecret }, MANAGER), 'link')
      await visitor.post('/sign-in/link', { link: secret, next: '/district' })
      return visitor
    }
    const other = await link()
    clock.advance({ minutes: 5 })
    const own = await link()
    const token = server.visitor()
    await token.post('/sign-in/token', { token: (await tokenFor('manager')).secret, next: '/district' })
    const path = `/districts/${districtId}/own-sessions`
    const endsOn = ({ text }: PageReply) => text.match(/own-sessions\/[\w-]+\/end/g) ?? []
    const page = await own.get(path)

    expect(endsOn(page)).toHaveLength(1)
    expect(endsOn(await token.get(path))).toEqual([])
    const end = (visitor: PageVisitor, from: PageReply) =>
      visitor.post(`/districts/${districtId}/${endsOn(page)[0] ?? ''}`, {
        formToken: fieldOf(from, 'formToken'),
      })
    expect((await end(token, await token.get(path))).status).toBe(404)
    expect((await other.get(path)).status).toBe(200)
    expect((await end(own, page)).location).toBe(path)

    expect((await other.get(path)).status).toBe(303)
    expect(endsOn(await own.get(path))).toEqual([])
  })
})
