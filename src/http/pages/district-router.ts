import { registerFile, registerWorkbook } from './register-files.ts'
import { Router, urlencoded } from 'express'
import type { RequestHandler, Response } from 'express'
import type { Deps } from '../../app/deps.ts'
import { noteDownload, noteReading } from '../../app/pages/note-reading.ts'
import { listDistricts } from '../../app/views.ts'
import { childCardPage } from './child-card.ts'
import { childRecordPage } from './child-record.ts'
import { childPage } from './child.ts'
import { coldChainPage } from './cold-chain.ts'
import { coverageFile, coveragePage, coverageTableFile } from './coverage.ts'
import { dataCheckPage } from './data-check.ts'
import { closeDeadLetterOf, deadLettersPage, sendDeadLetterAgain } from './dead-letters.ts'
import { doseReasonFrom } from './dose-reason.ts'
import { doublePage, mergeFrom, oneDoseFrom, sayTwoFrom } from './double.ts'
import { checkDoublesFrom, doublesPage, flagDoubleFrom, undoMergeFrom } from './doubles.ts'
import { dosesPage } from './doses.ts'
import { sendFile, wordsOf } from './download.ts'
import type { DownloadedFile } from './download.ts'
import { findPage } from './find.ts'
import { proveForm, signedIn } from './guard.ts'
import { html } from './html.ts'
import { districtPage, pathIn, plainPage } from './layout.ts'
import type { DistrictPage } from './layout.ts'
import { listFile, listPage, listsPage, listWorkbook, sendListFrom } from './lists.ts'
import { confirmRecall, lotPage, noteRecall, recallPage } from './lots.ts'
import { mapPage } from './map.ts'
import { monthPage } from './month.ts'
import { decisionFrom, endDecisionOf } from './decisions.ts'
import { noteOutcome } from './outcome.ts'
import { overviewPage } from './overview.ts'
import { endSessionFrom, ownSessionsPage } from './own-sessions.ts'
import { makePinCodeFor, peoplePage } from './people.ts'
import { eraseFrom, sharingFrom } from './privacy.ts'
import { progressPage } from './progress.ts'
import { lineListFile, noteAlert, reactionsPage } from './reactions.ts'
import { addPostFrom, decideFrom, makePermanentFrom, postsPage } from './posts.ts'
import { schedulePage } from './schedule.ts'
import { sessionPage, sessionsPage } from './sessions.ts'
import { suppliesPage } from './supplies.ts'
import { textsPage } from './texts.ts'
import { vialPage } from './vial.ts'
import { endTokenOf, makeTokenFrom, tokensPage } from './tokens.ts'
import { noteLookedAt, vialsPage } from './vials.ts'
import { villageChildrenPage } from './village-children.ts'
import { villagePage } from './village.ts'
import { moveDoseFrom } from './move-dose.ts'
import { noteReviewed } from './waiting.ts'
import { visitDistrict } from './visit.ts'
import type { Visit } from './visit.ts'

/** Each page inside a district: its path, and what makes it. */
const PAGES: Readonly<Record<string, (visit: Visit) => Promise<DistrictPage>>> = {
  '': overviewPage,
  '/coverage': coveragePage,
  '/doses': dosesPage,
  '/progress': progressPage,
  '/map': mapPage,
  '/villages/:villageId': villagePage,
  '/villages/:villageId/children': villageChildrenPage,
  '/sessions': sessionsPage,
  '/sessions/:day': sessionPage,
  '/vials': vialsPage,
  '/vials/:number': vialPage,
  '/cold-chain': coldChainPage,
  '/supplies': suppliesPage,
  '/lots/:lot': lotPage,
  '/recalls/:recallId': recallPage,
  '/reactions': reactionsPage,
  '/lists': listsPage,
  '/lists/:list': listPage,
  '/find': findPage,
  '/children/:childId': childPage,
  '/children/:childId/card': childCardPage,
  '/children/:childId/record': childRecordPage,
  '/texts': textsPage,
  '/dead-letters': deadLettersPage,
  '/data-check': dataCheckPage,
  '/doubles': doublesPage,
  '/doubles/:itemId': doublePage,
  '/people': peoplePage,
  '/tokens': tokensPage,
  '/own-sessions': ownSessionsPage,
  '/posts': postsPage,
  '/schedule': schedulePage,
  '/months/:month': monthPage,
}

const FILES: Readonly<Record<string, (visit: Visit) => Promise<DownloadedFile>>> = {
  '/coverage.csv': coverageFile,
  '/coverage-table.csv': coverageTableFile,
  '/reactions.csv': lineListFile,
  '/register.csv': registerFile,
  '/register.xlsx': registerWorkbook,
  '/lists/:list.csv': listFile,
  '/lists/:list.xlsx': listWorkbook,
}

/** Does what a form asks; answers the path of the page to show then, or what is shown this once. */
type Change = (visit: Visit, sent: unknown) => Promise<string | DistrictPage>

/** What visitors change: the path, and what does it. */
const CHANGES: Readonly<Record<string, Change>> = {
  '/children/:childId/outcome': noteOutcome,
  '/children/:childId/sharing': sharingFrom,
  '/children/:childId/erase': eraseFrom,
  '/children/:childId/decisions': decisionFrom,
  '/children/:childId/decisions/:noteId/end': endDecisionOf,
  '/children/:childId/double': flagDoubleFrom,
  '/doubles/check': checkDoublesFrom,
  '/doubles/:itemId/merge': mergeFrom,
  '/doubles/:itemId/two': sayTwoFrom,
  '/doubles/:itemId/one-dose': oneDoseFrom,
  '/merges/:mergeId/undo': undoMergeFrom,
  '/lists/:list/send': sendListFrom,
  '/posts/add': addPostFrom,
  '/posts/:postId/permanent': makePermanentFrom,
  '/post-differences/:differenceId': decideFrom,
  '/waiting/:itemId/done': noteReviewed,
  '/dead-letters/:textId/again': sendDeadLetterAgain,
  '/dead-letters/:textId/close': closeDeadLetterOf,
  '/doses/:doseId/reason': doseReasonFrom,
  '/doses/:doseId/move': moveDoseFrom,
  '/doses/:doseId/looked-at': noteLookedAt,
  '/alerts/:alertId/mark': noteAlert,
  '/lots/:lot/recall': noteRecall,
  '/recalls/:recallId/send': confirmRecall,
  '/people/:personId/pin-code': makePinCodeFor,
  '/own-sessions/:sessionId/end': endSessionFrom,
  '/tokens': makeTokenFrom,
  '/tokens/:tokenId/end': endTokenOf,
}

/** The district manager's pages. */
export function districtRouter(deps: Deps): Router {
  const router = Router()
  router.get('/district', home(deps))
  // Files first: a list's page would take its file's name for its own.
  for (const [path, make] of Object.entries(FILES)) router.get(inDistrict(path), offer(deps, make))
  for (const [path, make] of Object.entries(PAGES)) router.get(inDistrict(path), show(deps, make))
  const readForm = urlencoded({ extended: false, limit: '4kb' })
  for (const [path, make] of Object.entries(CHANGES))
    router.post(inDistrict(path), readForm, change(deps, make))
  return router
}

function inDistrict(path: string): string {
  return `/districts/:districtId${path}`
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

function show(deps: Deps, make: (visit: Visit) => Promise<DistrictPage>): RequestHandler {
  return async function showPage(request, response) {
    const visit = await visitDistrict(deps, request)
    const made = await make(visit)
    await noteReading(visit.scope, visit.visitor, { page: request.path, words: made.body.markup })
    sendPage(response, visit, made)
  }
}

function sendPage(response: Response, visit: Visit, made: DistrictPage): void {
  response
    .set('cache-control', 'no-store')
    .type('html')
    .send(districtPage(visit.scope, visit, made))
}

function offer(deps: Deps, make: (visit: Visit) => Promise<DownloadedFile>): RequestHandler {
  return async function offerFile(request, response) {
    const visit = await visitDistrict(deps, request)
    const file = await make(visit)
    await noteDownload(visit.scope, visit.visitor, { page: request.originalUrl, words: wordsOf(file) })
    response.set('cache-control', 'no-store')
    sendFile(response, file)
  }
}

function change(deps: Deps, make: Change): RequestHandler {
  return async function changeRecord(request, response) {
    const visit = await visitDistrict(deps, request)
    proveForm(request, visit)
    const made = await make(visit, request.body)
    if (typeof made === 'string') response.redirect(303, made)
    else sendPage(response, visit, made)
  }
}
