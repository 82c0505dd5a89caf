import { Router } from 'express'
import type { RequestHandler } from 'express'
import type { Deps } from '../../app/deps.ts'
import { listDistricts } from '../../app/views.ts'
import { coveragePage } from './coverage.ts'
import { signedIn } from './guard.ts'
import { html } from './html.ts'
import { districtPage, pathIn, plainPage } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { overviewPage } from './overview.ts'
import { visitDistrict } from './visit.ts'
import type { Visit } from './visit.ts'

type PageMaker = (visit: Visit) => Promise<DistrictPage>

/** Path of each page inside a district, and what makes it. */
const PAGES: Readonly<Record<string, PageMaker>> = {
  '': overviewPage,
  '/coverage': coveragePage,
}

/** The district manager's pages. */
export function districtRouter(deps: Deps): Router {
  const router = Router()
  router.get('/district', home(deps))
  for (const [path, make] of Object.entries(PAGES))
    router.get(`/districts/:districtId${path}`, show(deps, make))
  return router
}

/** Brings visitors to their district, or lets them choose one. */
function home(deps: Deps): RequestHandler {
  return async function goHome(request, response) {
    const { visitor } = await signedIn(deps, request)
    if (visitor.districtId !== null) {
      response.redirect(303, pathIn(visitor.districtId, ''))
      return
    }
    const districts = await listDistricts(deps.database.db)
    const body = html`<h1>Districts</h1>
      <ul>
        ${districts.map(({ id, name }) => html`<li><a href="${pathIn(id, '')}">${name}</a></li>`)}
      </ul>`
    response.type('html').send(plainPage('Districts', body))
  }
}

function show(deps: Deps, make: PageMaker): RequestHandler {
  return async function showPage(request, response) {
    const visit = await visitDistrict(deps, request)
    const made = await make(visit)
    response
      .set('cache-control', 'no-store')
      .type('html')
      .send(districtPage(visit.scope, visit, made))
  }
}
