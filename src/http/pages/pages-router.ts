import { Router } from 'express'
import type { Deps } from '../../app/deps.ts'
import type { Secrets } from '../../app/pages/sign-in.ts'
import { assetsRouter } from './assets.ts'
import { districtRouter } from './district-router.ts'
import { pageProblems } from './page-problems.ts'
import { practiceRouter } from './practice.ts'
import { signInRouter } from './sign-in.ts'

/** All pages of the district manager, with the ways in and out. */
export function pagesRouter(deps: Deps, secrets: Secrets): Router {
  return Router()
    .use(assetsRouter())
    .use(signInRouter(deps, secrets))
    .use(practiceRouter(deps))
    .use(districtRouter(deps))
    .use(pageProblems(deps.log))
}
