import { adverseEventResource } from '../../core/exchange/adverse-event-out.ts'
import { immunizationResource } from '../../core/exchange/immunization-out.ts'
import { locationResource } from '../../core/exchange/location-out.ts'
import type { PlaceToTell } from '../../core/exchange/location-out.ts'
import { patientResource } from '../../core/exchange/patient-out.ts'
import { recommendationResource } from '../../core/exchange/recommendation-out.ts'
import type { Resource } from '../../core/exchange/resource.ts'
import type { HealthPost } from '../../core/model.ts'
import { Refusal } from '../../core/refusals.ts'
import type { Db } from '../../store/database.ts'
import { getDistrict, listDistricts, listHealthPosts, listVillages } from '../../store/districts.ts'
import { pageOfChildrenToTell, pageOfDosesToTell, pageOfReactionsToTell } from '../../store/exchange-pages.ts'
import type { ChildWish, DoseWish, ReactionWish } from '../../store/exchange-pages.ts'
import type { Deps } from '../deps.ts'
import { viewForecast } from '../views.ts'

export type { ChildWish, DoseWish } from '../../store/exchange-pages.ts'

/** What other systems are told, as resources. */

/** One page; `next` is the identifier to go on after. */
export interface ResourcePage {
  readonly resources: readonly Resource[]
  readonly next: string | null
}

/** Children as Patients. */
export async function findPatients(db: Db, wish: ChildWish): Promise<ResourcePage> {
  const children = await pageOfChildrenToTell(db, { ...wish, limit: wish.limit + 1 })
  return paged(children, wish.limit, patientResource)
}

/** Doses as Immunizations. */
export async function findImmunizations(
  db: Db,
  deps: Pick<Deps, 'shelf'>,
  wish: DoseWish,
): Promise<ResourcePage> {
  const doses = await pageOfDosesToTell(db, { ...wish, limit: wish.limit + 1 })
  return paged(doses, wish.limit, (dose) => immunizationResource(dose, deps.shelf.codes))
}

/** Reactions as AdverseEvents. */
export async function findAdverseEvents(db: Db, wish: ReactionWish): Promise<ResourcePage> {
  const reactions = await pageOfReactionsToTell(db, { ...wish, limit: wish.limit + 1 })
  return paged(reactions, wish.limit, adverseEventResource)
}

/** One row more than a page was asked for, to know whether there is another page. */
function paged<Row extends { readonly id: string }>(
  rows: readonly Row[],
  limit: number,
  toResource: (row: Row) => Resource,
): ResourcePage {
  const shown = rows.slice(0, limit)
  const next = rows.length > limit ? (shown.at(-1)?.id ?? null) : null
  return { resources: shown.map(toResource), next }
}

/** What is next for a child; `undefined` where nothing is to come or nobody may be told. @throws {Refusal} child-not-found */
export async function recommendationOf(db: Db, deps: Deps, childId: string): Promise<Resource | undefined> {
  const [told] = await pageOfChildrenToTell(db, { districtId: null, ids: [childId], limit: 1 })
  if (told === undefined) return undefined
  const { schedule, on, forecast } = await viewForecast(db, deps, childId, null)
  const vaccines = new Map(schedule.series.map((series) => [series.id, series.vaccines]))
  return recommendationResource(
    {
      childId,
      on,
      forecast,
      scheduleTitle: schedule.title,
      vaccinesOf: (series) => vaccines.get(series) ?? [],
    },
    deps.shelf.codes,
  )
}

/** The places of a district, or of all: districts, posts, villages, each in order of name. */
export async function findLocations(db: Db, districtId: string | null): Promise<Resource[]> {
  const districts = districtId === null ? await listDistricts(db) : [await getDistrict(db, districtId)]
  const places: PlaceToTell[] = []
  for (const { id, name } of districts) {
    const nowhere = { districtId: id, latitude: null, longitude: null }
    places.push({ ...nowhere, kind: 'district', id, name })
    const posts = await listHealthPosts(db, id)
    places.push(...posts.map(placeOfPost))
    const villages = await listVillages(db, id)
    places.push(...villages.map((village) => ({ ...village, kind: 'village' as const })))
  }
  return places.map(locationResource)
}

const placeOfPost = ({ id, districtId, name, nationalId }: HealthPost): PlaceToTell => ({
  kind: 'post',
  id,
  districtId,
  name,
  nationalId,
  latitude: null,
  longitude: null,
})

/** @throws {Refusal} resource-not-found */
export function theOne(found: readonly Resource[], what: string): Resource {
  const [resource] = found
  if (resource !== undefined) return resource
  throw new Refusal('resource-not-found', `There is no ${what} here.`)
}
