import { json, Router } from 'express'
import type { Request } from 'express'
import type { Deps } from '../../app/deps.ts'
import { practicePhones } from '../../app/pages/practice-phones.ts'
import type { PracticePhones } from '../../app/pages/practice-phones.ts'
import { proven, proveOwnSite } from './guard.ts'
import { districtPage } from './layout.ts'
import { dialling, PHONE_HEAD, phoneBody, phoneNumber, pressing, texting } from './phone.ts'
import { visitDistrict } from './visit.ts'

const CODE = '*7709#'
const PAGE = '/districts/:districtId/practice'

/** Phones on a page, to practise with in a training district: for its managers and officers, never for a real one. */
export function practiceRouter(deps: Deps): Router {
  const phonesFor = async (request: Request): Promise<PracticePhones> => {
    if (request.method === 'POST') proveOwnSite(request)
    return practicePhones((await visitDistrict(deps, request)).scope)
  }
  const router = Router()
  router.get(PAGE, async (request, response) => {
    const phones = await (await phonesFor(request)).phones()
    const visit = await visitDistrict(deps, request)
    const page = {
      title: 'Practice',
      way: 'Practice',
      body: phoneBody(phones, CODE),
      head: PHONE_HEAD,
    } as const
    response
      .set('cache-control', 'no-store')
      .type('html')
      .send(districtPage(visit.scope, visit, page))
  })
  router.get(`${PAGE}/thread`, async (request, response) => {
    const phones = await phonesFor(request)
    response.json(await phones.thread(proven(phoneNumber, request.query['number'])))
  })
  router.use(PAGE, json({ limit: '8kb', inflate: false }))
  router.post(`${PAGE}/text`, async (request, response) => {
    const phones = await phonesFor(request)
    const { from, body } = proven(texting, request.body)
    await phones.text(from, body)
    response.json({ sent: true })
  })
  router.post(`${PAGE}/dial`, async (request, response) => {
    const phones = await phonesFor(request)
    response.json(await phones.dial(proven(dialling, request.body).from, CODE))
  })
  router.post(`${PAGE}/press`, async (request, response) => {
    const phones = await phonesFor(request)
    const { from, typed } = proven(pressing, request.body)
    response.json(await phones.press(from, typed))
  })
  return router
}
