import { Router } from 'express'
import type { Deps } from '../../app/deps.ts'
import { districtFigures } from '../../app/pages/district-figures.ts'
import { openDistrict } from '../../app/pages/district-scope.ts'
import { PLAIN_CHOICE } from '../../app/pages/figure-choice.ts'
import { districtPage } from './layout.ts'
import { overview } from './overview.ts'

/** The district manager's pages. */
export function districtRouter(deps: Deps): Router {
  const router = Router()
  router.get('/districts/:districtId', async (request, response) => {
    const scope = await openDistrict(deps, request.params.districtId)
    const figures = await districtFigures(scope, PLAIN_CHOICE)
    response
      .type('html')
      .send(districtPage(scope, { title: 'Overview', way: 'Overview', body: overview(figures) }))
  })
  return router
}
