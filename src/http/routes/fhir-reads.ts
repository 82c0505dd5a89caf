import { z } from 'zod'
import { handOutHistory } from '../../app/exchange/hand-out-history.ts'
import {
  findAdverseEvents,
  findImmunizations,
  findLocations,
  findPatients,
  recommendationOf,
  theOne,
} from '../../app/exchange/find-resources.ts'
import { getReaction } from '../../app/reactions/line-list.ts'
import { districtOfChild, districtOfDose } from '../../app/views.ts'
import { vaccineOf } from '../../core/exchange/code-map.ts'
import type { CodeMap } from '../../core/exchange/code-map.ts'
import { SYSTEM } from '../../core/exchange/systems.ts'
import { route } from '../route.ts'
import { id, noBody, none } from '../shapes.ts'
import { resourceShape } from '../fhir/shapes.ts'
import { dateParam, identifierParam, pageBundle, referenceParam, usualParams } from '../fhir/search.ts'

const STAFF = ['vaccinator', 'manager', 'officer', 'machine'] as const
const byId = z.object({ id })

/** What all reads of FHIR have in common. */
const reading = {
  method: 'get',
  tag: 'FHIR',
  roles: STAFF,
  body: noBody,
  status: 200,
  answer: resourceShape,
  contentType: 'application/fhir+json',
} as const

const patient = route({
  ...reading,
  path: '/fhir/R4/Patient/{id}',
  summary: 'One child as a Patient',
  params: byId,
  query: none,
  district: ({ db, params }) => districtOfChild(db, params.id),
  handle: async ({ db, params }) => {
    const { resources } = await findPatients(db, { districtId: null, ids: [params.id], limit: 1 })
    return theOne(resources, 'such Patient')
  },
})

const patients = route({
  ...reading,
  path: '/fhir/R4/Patient',
  summary: 'Children as Patients, found by number, birth date, place or change',
  params: none,
  query: z.strictObject({
    ...usualParams,
    identifier: identifierParam,
    birthdate: dateParam,
    location: referenceParam('Location').describe('The village or district where the child lives.'),
  }),
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, principal, query, address }) => {
    const found = await findPatients(db, {
      districtId: principal.districtId,
      afterId: query._after,
      limit: query._count,
      ids: query._id,
      changed: query._lastUpdated,
      number: query.identifier,
      born: query.birthdate,
      place: query.location,
    })
    return pageBundle(found, address)
  },
})

const everything = route({
  ...reading,
  path: '/fhir/R4/Patient/{id}/$everything',
  summary:
    'Everything on record of one child: who it is, every dose and reaction, what is next; who asked is noted',
  params: byId,
  query: none,
  district: ({ db, params }) => districtOfChild(db, params.id),
  handle: async ({ db, deps, params, principal, address }) => {
    const resources = await handOutHistory(db, deps, { childId: params.id, by: principal.name })
    return pageBundle({ resources, next: null }, address)
  },
})

const immunization = route({
  ...reading,
  path: '/fhir/R4/Immunization/{id}',
  summary: 'One dose as an Immunization',
  params: byId,
  query: none,
  district: ({ db, params }) => districtOfDose(db, params.id),
  handle: async ({ db, deps, params }) => {
    const { resources } = await findImmunizations(db, deps, {
      districtId: null,
      ids: [params.id],
      limit: 1,
    })
    return theOne(resources, 'such Immunization')
  },
})

/** Every vaccine a `vaccine-code` may mean; with none, nothing is found. */
function vaccinesMeant(codes: CodeMap, text: string): readonly string[] {
  const [first = '', second] = text.split('|')
  const systems = second === undefined ? [SYSTEM.vaccine, SYSTEM.cvx, SYSTEM.atc] : [first]
  const meant = systems.map((system) => vaccineOf(codes, [{ system, code: second ?? first }]))
  return [...new Set(meant.filter((vaccine) => vaccine !== undefined))]
}

const immunizations = route({
  ...reading,
  path: '/fhir/R4/Immunization',
  summary: 'Doses as Immunizations, found by child, number, day, vaccine, place or change',
  params: none,
  query: z.strictObject({
    ...usualParams,
    identifier: identifierParam,
    patient: referenceParam('Patient'),
    date: dateParam,
    'vaccine-code': z.string().optional().describe('A code of ours, CVX or ATC, with or without its system.'),
    status: z.enum(['completed', 'entered-in-error']).optional(),
    location: referenceParam('Location').describe('The post, or the village or district of the child.'),
  }),
  district: ({ db, principal, query }) =>
    query.patient === undefined ? principal.districtId : districtOfChild(db, query.patient),
  handle: async ({ db, deps, principal, query, address }) => {
    const code = query['vaccine-code']
    const found = await findImmunizations(db, deps, {
      districtId: principal.districtId,
      afterId: query._after,
      limit: query._count,
      ids: query._id,
      changed: query._lastUpdated,
      number: query.identifier,
      childId: query.patient,
      given: query.date,
      place: query.location,
      ...(code === undefined ? {} : { vaccines: vaccinesMeant(deps.shelf.codes, code) }),
      ...(query.status === undefined ? {} : { isWithdrawn: query.status === 'entered-in-error' }),
    })
    return pageBundle(found, address)
  },
})

const recommendation = route({
  ...reading,
  path: '/fhir/R4/ImmunizationRecommendation/{id}',
  summary: 'What is next for a child, by the identifier of the child',
  params: byId,
  query: none,
  district: ({ db, params }) => districtOfChild(db, params.id),
  handle: async ({ db, deps, params }) => {
    const found = await recommendationOf(db, deps, params.id)
    return theOne(found === undefined ? [] : [found], 'ImmunizationRecommendation for this child')
  },
})

const recommendations = route({
  ...reading,
  path: '/fhir/R4/ImmunizationRecommendation',
  summary: 'What is next for a child, as the schedule of its district has it today',
  params: none,
  query: z.strictObject({ patient: referenceParam('Patient').unwrap(), _format: usualParams._format }),
  district: ({ db, query }) => districtOfChild(db, query.patient),
  handle: async ({ db, deps, query, address }) => {
    const found = await recommendationOf(db, deps, query.patient)
    return pageBundle({ resources: found === undefined ? [] : [found], next: null }, address)
  },
})

const adverseEvent = route({
  ...reading,
  path: '/fhir/R4/AdverseEvent/{id}',
  summary: 'One reaction as an AdverseEvent',
  params: byId,
  query: none,
  district: async ({ db, params }) => (await getReaction(db, params.id)).districtId,
  handle: async ({ db, params }) => {
    const { resources } = await findAdverseEvents(db, {
      districtId: null,
      ids: [params.id],
      limit: 1,
    })
    return theOne(resources, 'such AdverseEvent')
  },
})

const adverseEvents = route({
  ...reading,
  path: '/fhir/R4/AdverseEvent',
  summary: 'Reactions as AdverseEvents, found by child, day, place or change',
  params: none,
  query: z.strictObject({
    ...usualParams,
    subject: referenceParam('Patient'),
    date: dateParam,
    location: referenceParam('Location').describe('The post, or the village or district of the child.'),
  }),
  district: ({ db, principal, query }) =>
    query.subject === undefined ? principal.districtId : districtOfChild(db, query.subject),
  handle: async ({ db, principal, query, address }) => {
    const found = await findAdverseEvents(db, {
      districtId: principal.districtId,
      afterId: query._after,
      limit: query._count,
      ids: query._id,
      changed: query._lastUpdated,
      childId: query.subject,
      began: query.date,
      place: query.location,
    })
    return pageBundle(found, address)
  },
})

const location = route({
  ...reading,
  path: '/fhir/R4/Location/{id}',
  summary: 'A district, health post or village as a Location',
  params: byId,
  query: none,
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, principal, params }) => {
    const places = await findLocations(db, principal.districtId)
    return theOne(
      places.filter((place) => place.id === params.id),
      'such Location',
    )
  },
})

const locations = route({
  ...reading,
  path: '/fhir/R4/Location',
  summary: 'Districts, health posts and villages as Locations',
  params: none,
  query: z.strictObject({
    _id: usualParams._id,
    _format: usualParams._format,
    name: z.string().optional().describe('The beginning of the name, in any case.'),
  }),
  district: ({ principal }) => principal.districtId,
  handle: async ({ db, principal, query, address }) => {
    const places = await findLocations(db, principal.districtId)
    const start = query.name?.toLocaleLowerCase() ?? ''
    const resources = places.filter(
      (place) =>
        (query._id?.includes(place.id ?? '') ?? true) &&
        String(place['name']).toLocaleLowerCase().startsWith(start),
    )
    return pageBundle({ resources, next: null }, address)
  },
})

export const FHIR_READ_ROUTES = [
  patient,
  patients,
  everything,
  immunization,
  immunizations,
  recommendation,
  recommendations,
  adverseEvent,
  adverseEvents,
  location,
  locations,
]
