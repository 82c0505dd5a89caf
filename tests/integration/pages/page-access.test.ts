/** Who may open and send what on the pages. A page without a row fails the test: whoever adds one says here whose it is. */
import { makeToken } from '../../../src/app/tokens.ts'
import type { TokenRole } from '../../../src/app/tokens.ts'
import { TOKEN_ROLES } from '../../../src/core/rights/token-role.ts'
import { districtRouter } from '../../../src/http/pages/district-router.ts'
import { newSecret } from '../../../src/platform/ids.ts'
import { childNamed } from '../../support/child-named.ts'
import { fieldOf, loadTestDistrict, openPageServer, takeRegister } from '../../support/page-server.ts'
import type { PageReply, PageVisitor } from '../../support/page-server.ts'

const server = await openPageServer('2026-03-02T09:00Z')
const LEADERS = ['officer', 'manager'] as const
const NOTHING = '019abe80-0000-7000-8000-000000000000'

const fileOf = (name: string, phone: string) => ({
  district: { name, timeZone: 'Africa/Nairobi', region: 'GB', schedule: 'who-2025-preferred' },
  posts: [{ name: 'Ford post', sessions: ['FREQ=WEEKLY;BYDAY=MO'] }],
  villages: [{ name: 'Amber Ford', post: 'Ford post' }],
  people: [{ name: 'Imara Holt', role: 'manager', phone }],
})
const here = (await loadTestDistrict(server, fileOf('Two Rivers', '+447700900001'))).id
const there = (await loadTestDistrict(server, fileOf('Far Hills', '+447700900002'))).id

await takeRegister(
  server,
  here,
  'card_number,name,sex,birth_date,village,phone,language\n,Asha Temba,female,2026-01-20,Amber Ford,07700900003,en',
)
// What a role may do with a child is asked only of one that is there.
const childId = (await childNamed(server.database.db, 'Asha Temba')).id

/** Whom each address is for, inside their own district. */
const PAGES: Readonly<Record<string, readonly TokenRole[]>> = {
  'GET /district': LEADERS,
  'GET /districts/:districtId': LEADERS,
  'GET /districts/:districtId/coverage': LEADERS,
  'GET /districts/:districtId/doses': LEADERS,
  'GET /districts/:districtId/progress': LEADERS,
  'GET /districts/:districtId/map': LEADERS,
  'GET /districts/:districtId/villages/:villageId': LEADERS,
  'GET /districts/:districtId/villages/:villageId/children': LEADERS,
  'GET /districts/:districtId/sessions': LEADERS,
  'GET /districts/:districtId/sessions/:day': LEADERS,
  'GET /districts/:districtId/vials': LEADERS,
  'GET /districts/:districtId/vials/:number': LEADERS,
  'GET /districts/:districtId/cold-chain': LEADERS,
  'GET /districts/:districtId/supplies': LEADERS,
  'GET /districts/:districtId/lots/:lot': LEADERS,
  'GET /districts/:districtId/recalls/:recallId': LEADERS,
  'GET /districts/:districtId/reactions': LEADERS,
  'GET /districts/:districtId/lists': LEADERS,
  'GET /districts/:districtId/lists/:list': LEADERS,
  'GET /districts/:districtId/find': LEADERS,
  'GET /districts/:districtId/children/:childId': LEADERS,
  'GET /districts/:districtId/children/:childId/card': LEADERS,
  'GET /districts/:districtId/children/:childId/record': LEADERS,
  'GET /districts/:districtId/texts': LEADERS,
  'GET /districts/:districtId/dead-letters': LEADERS,
  'GET /districts/:districtId/data-check': LEADERS,
  'GET /districts/:districtId/doubles': LEADERS,
  'GET /districts/:districtId/doubles/:itemId': LEADERS,
  'GET /districts/:districtId/people': LEADERS,
  'GET /districts/:districtId/tokens': LEADERS,
  'GET /districts/:districtId/own-sessions': LEADERS,
  'GET /districts/:districtId/posts': LEADERS,
  'GET /districts/:districtId/schedule': LEADERS,
  'GET /districts/:districtId/months/:month': LEADERS,
  'GET /districts/:districtId/coverage.csv': LEADERS,
  'GET /districts/:districtId/coverage-table.csv': LEADERS,
  'GET /districts/:districtId/reactions.csv': LEADERS,
  'GET /districts/:districtId/register.csv': LEADERS,
  'GET /districts/:districtId/register.xlsx': LEADERS,
  'GET /districts/:districtId/lists/:list.csv': LEADERS,
  'GET /districts/:districtId/lists/:list.xlsx': LEADERS,
  'POST /districts/:districtId/children/:childId/outcome': LEADERS,
  'POST /districts/:districtId/children/:childId/sharing': LEADERS,
  'POST /districts/:districtId/children/:childId/erase': ['officer'],
  'POST /districts/:districtId/children/:childId/decisions': LEADERS,
  'POST /districts/:districtId/children/:childId/decisions/:noteId/end': LEADERS,
  'POST /districts/:districtId/children/:childId/double': LEADERS,
  'POST /districts/:districtId/doubles/check': LEADERS,
  'POST /districts/:districtId/doubles/:itemId/merge': LEADERS,
  'POST /districts/:districtId/doubles/:itemId/two': LEADERS,
  'POST /districts/:districtId/doubles/:itemId/one-dose': LEADERS,
  'POST /districts/:districtId/merges/:mergeId/undo': LEADERS,
  'POST /districts/:districtId/lists/:list/send': LEADERS,
  'POST /districts/:districtId/posts/add': LEADERS,
  'POST /districts/:districtId/posts/:postId/permanent': LEADERS,
  'POST /districts/:districtId/post-differences/:differenceId': LEADERS,
  'POST /districts/:districtId/waiting/:itemId/done': LEADERS,
  'POST /districts/:districtId/dead-letters/:textId/again': LEADERS,
  'POST /districts/:districtId/dead-letters/:textId/close': LEADERS,
  'POST /districts/:districtId/doses/:doseId/reason': LEADERS,
  'POST /districts/:districtId/doses/:doseId/move': LEADERS,
  'POST /districts/:districtId/doses/:doseId/looked-at': LEADERS,
  'POST /districts/:districtId/alerts/:alertId/mark': LEADERS,
  'POST /districts/:districtId/lots/:lot/recall': LEADERS,
  'POST /districts/:districtId/recalls/:recallId/send': LEADERS,
  'POST /districts/:districtId/people/:personId/pin-code': LEADERS,
  'POST /districts/:districtId/own-sessions/:sessionId/end': LEADERS,
  'POST /districts/:districtId/tokens': LEADERS,
  'POST /districts/:districtId/tokens/:tokenId/end': LEADERS,
}

/** What the router serves, as `GET /path`. */
function served(): string[] {
  const layers = districtRouter(server.deps).stack as unknown as {
    readonly route?: { readonly path: string; readonly methods: Readonly<Record<string, boolean>> }
  }[]
  return layers.flatMap(({ route }) =>
    route === undefined
      ? []
      : Object.keys(route.methods).map((method) => `${method.toUpperCase()} ${route.path}`),
  )
}

const visitors = new Map<TokenRole, PageVisitor>()
beforeAll(async () => {
  for (const role of TOKEN_ROLES) {
    const wish = { name: role, role, districtId: here, expiresAt: null }
    const { secret } = await makeToken(server.deps, newSecret, wish)
    const visitor = server.visitor()
    await visitor.post('/sign-in/token', { token: secret, next: '/district' })
    visitors.set(role, visitor)
  }
})

/** Opens an address or sends an empty form to it, with the token of a page where there is one. */
async function reach(role: TokenRole, name: string, districtId: string): Promise<PageReply> {
  const visitor = visitors.get(role) ?? server.visitor()
  const [method, path = ''] = name.split(' ')
  const address = path
    .replace(':districtId', districtId)
    .replace(':childId', childId)
    .replaceAll(/:\w+/g, NOTHING)
  if (method === 'GET') return visitor.get(address)
  const page = await visitor.get(`/districts/${here}`)
  return visitor.post(address, page.status === 200 ? { formToken: fieldOf(page, 'formToken') } : {})
}

const isLetIn = ({ status, location }: PageReply): boolean =>
  status !== 401 && status !== 403 && !location.startsWith('/sign-in')

test('every page, file and form has a row that says whom it is for, and every row an address', () => {
  expect(Object.keys(PAGES).sort()).toEqual(served().sort())
})

test.each(Object.entries(PAGES))('%s is for the roles of its row only', async (name, roles) => {
  const letIn: TokenRole[] = []
  for (const role of TOKEN_ROLES) if (isLetIn(await reach(role, name, here))) letIn.push(role)

  expect(letIn).toEqual(roles)
})

test.each(Object.keys(PAGES).filter((name) => name.includes(':districtId')))(
  '%s of another district is not there',
  async (name) => {
    for (const role of LEADERS) expect([role, (await reach(role, name, there)).status]).toEqual([role, 404])
  },
)
