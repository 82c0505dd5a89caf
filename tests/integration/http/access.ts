import { readDataFile } from '../../../src/platform/data-files.ts'
import { RECORD_ACCESS } from './access-records.ts'
import { bound, child, district, EVERYONE, LEADERS, NOWHERE, STAFF, unbound, webhook } from './access-row.ts'
import type { AccessRow, Place } from './access-row.ts'

const SCHEDULE = '/v1/schedules/who-2025-preferred'
const DOUBLE_RULES: unknown = readDataFile('matching/doubles.json')

/** Who may call what. A route without a row fails the test: whoever adds one says here who may use it. */
export const ACCESS: Readonly<Record<string, AccessRow>> = {
  ...RECORD_ACCESS,
  'POST /v1/children': bound(STAFF, () => '/v1/children', enrolment),
  'GET /v1/children': bound(STAFF, (place) => `/v1/children?district=${place.district.id}`),
  'GET /v1/children/{childId}': bound(STAFF, child),
  'PATCH /v1/children/{childId}': bound(STAFF, child, () => ({ birthWeightGrams: 3000 })),
  'POST /v1/children/{childId}/move': bound(
    STAFF,
    (place) => `${child(place)}/move`,
    (place) => ({ villageId: place.district.villageId('Kesho') }),
  ),
  'POST /v1/children/{childId}/status': bound(
    STAFF,
    (place) => `${child(place)}/status`,
    () => ({ status: 'active', on: '2026-03-04' }),
  ),
  'PUT /v1/children/{childId}/phone': bound(
    STAFF,
    (place) => `${child(place)}/phone`,
    () => ({ caregiver: null }),
  ),
  'GET /v1/districts/{districtId}/candidates': bound(
    STAFF,
    (place) => `${district(place)}/candidates?name=Asha&birth=2026`,
  ),
  'GET /v1/districts/{districtId}/search-rules': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/search-rules`,
  ),
  'PUT /v1/districts/{districtId}/search-rules': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/search-rules`,
    () => readDataFile('matching/search.json'),
  ),
  'GET /v1/children/{childId}/record': bound(LEADERS, (place) => `${child(place)}/record`),
  'GET /v1/children/{childId}/forecast': bound(STAFF, (place) => `${child(place)}/forecast`),
  'GET /v1/children/{childId}/timeline.svg': bound(STAFF, (place) => `${child(place)}/timeline.svg`),
  'GET /v1/children/{childId}/appointments': bound(STAFF, (place) => `${child(place)}/appointments`),
  'GET /v1/children/{childId}/doses': bound(STAFF, (place) => `${child(place)}/doses`),
  'POST /v1/children/{childId}/doses': bound(
    STAFF,
    (place) => `${child(place)}/doses`,
    () => ({ vaccines: ['BCG'], givenOn: '2026-03-04' }),
  ),
  'POST /v1/doses/{doseId}/withdrawal': bound(
    STAFF,
    ({ doseId }) => `/v1/doses/${doseId}/withdrawal`,
    () => ({ reason: 'wrong child' }),
  ),
  'PUT /v1/doses/{doseId}/reason': bound(
    ['vaccinator', 'manager', 'officer'],
    ({ doseId }) => `/v1/doses/${doseId}/reason`,
    () => ({ reason: 'came for the last time' }),
  ),
  'GET /v1/districts/{districtId}/vials': bound(STAFF, (place) => `${district(place)}/vials`),
  'POST /v1/districts/{districtId}/vials': bound(
    STAFF,
    (place) => `${district(place)}/vials`,
    ({ postId }) => ({ postId, vaccine: 'BOPV', lot: 'L4471B', expiryOn: '2027-05-31' }),
  ),
  'GET /v1/vials/{vialId}': bound(STAFF, ({ vialId }) => `/v1/vials/${vialId}`),
  'POST /v1/vials/{vialId}/check': bound(
    STAFF,
    ({ vialId }) => `/v1/vials/${vialId}/check`,
    () => ({
      vaccine: 'BOPV',
      conditions: {
        isKeptCold: true,
        isNeverFrozen: true,
        isStopperDry: true,
        isClean: true,
        monitorStage: 1,
      },
    }),
  ),
  'POST /v1/vials/{vialId}/discard': bound(
    STAFF,
    ({ vialId }) => `/v1/vials/${vialId}/discard`,
    () => ({ reason: 'broken' }),
  ),
  'GET /v1/vials/{vialId}/doses': bound(STAFF, ({ vialId }) => `/v1/vials/${vialId}/doses`),
  'POST /v1/children/{childId}/reactions': bound(
    STAFF,
    (place) => `${child(place)}/reactions`,
    () => ({ words: 'mild fever', reactionOn: '2026-03-04' }),
  ),
  'PATCH /v1/reactions/{reactionId}': bound(
    LEADERS,
    ({ reactionId }) => `/v1/reactions/${reactionId}`,
    () => ({ facts: { outcome: 'recovered' } }),
  ),
  'GET /v1/districts/{districtId}/reactions.csv': bound(
    LEADERS,
    (place) => `${district(place)}/reactions.csv`,
  ),
  'GET /v1/districts/{districtId}/alerts': bound(STAFF, (place) => `${district(place)}/alerts`),
  'POST /v1/alerts/{alertId}/mark': bound(
    LEADERS,
    ({ alertId }) => `/v1/alerts/${alertId}/mark`,
    () => ({ deed: 'acknowledged' }),
  ),
  'GET /v1/districts/{districtId}/lots/{lot}': bound(LEADERS, (place) => `${district(place)}/lots/L4471B`),
  'POST /v1/districts/{districtId}/recalls': bound(
    LEADERS,
    (place) => `${district(place)}/recalls`,
    () => ({ lot: 'L4471B', reason: 'asked by the ministry' }),
  ),
  'POST /v1/recalls/{recallId}/confirmation': bound(
    LEADERS,
    ({ recallId }) => `/v1/recalls/${recallId}/confirmation`,
  ),
  'POST /v1/districts/{districtId}/temperatures': bound(
    STAFF,
    (place) => `${district(place)}/temperatures`,
    ({ postId }) => ({ postId, celsius: 4.5 }),
  ),
  'POST /v1/districts/{districtId}/temperatures/logger': bound(
    STAFF,
    (place) => `${district(place)}/temperatures/logger`,
    ({ postId }) => ({ postId, columns: { time: 'at', celsius: 'c' }, csv: 'at,c\n2026-03-03 10:00,4.5\n' }),
  ),
  'POST /v1/districts/{districtId}/stock': bound(
    STAFF,
    (place) => `${district(place)}/stock`,
    ({ postId }) => ({ postId, counts: [{ vaccine: 'BOPV', count: 12 }] }),
  ),
  'GET /v1/districts/{districtId}/needs': bound(
    STAFF,
    (place) => `${district(place)}/needs?post=${place.postId}`,
  ),
  'GET /v1/districts': unbound(EVERYONE, '/v1/districts'),
  'PUT /v1/districts': bound(
    ['officer', 'operator'],
    () => '/v1/districts',
    (place) => place.district.file,
  ),
  'PUT /v1/districts/{districtId}/wording/{language}': bound(
    ['officer', 'manager'],
    (place) => `${district(place)}/wording/en`,
    () => ({ texts: {} }),
  ),
  'GET /v1/districts/{districtId}/posts': bound(EVERYONE, (place) => `${district(place)}/posts`),
  'GET /v1/districts/{districtId}/villages': bound(EVERYONE, (place) => `${district(place)}/villages`),
  'PATCH /v1/villages/{villageId}': bound(
    ['manager', 'officer'],
    (place) => `/v1/villages/${place.district.villageId('Kesho')}`,
    () => ({ population: 500 }),
  ),
  'GET /v1/districts/{districtId}/appointments': bound(
    STAFF,
    (place) => `${district(place)}/appointments?from=2026-03-01&to=2026-03-31`,
  ),
  'GET /v1/districts/{districtId}/coverage': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/coverage`,
  ),
  'GET /v1/districts/{districtId}/coverage.csv': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/coverage.csv`,
  ),
  'GET /v1/districts/{districtId}/service-indicators': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/service-indicators?from=2026-01-01&to=2026-03-31`,
  ),
  'GET /v1/districts/{districtId}/service-indicators.csv': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/service-indicators.csv?from=2026-01-01&to=2026-03-31`,
  ),
  'GET /v1/districts/{districtId}/doses-given': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/doses-given?from=2026-01-01&to=2026-12-31`,
  ),
  'GET /v1/districts/{districtId}/same-day': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/same-day`,
  ),
  'GET /v1/districts/{districtId}/dropout': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/dropout`,
  ),
  'GET /v1/districts/{districtId}/newborn-enrolment': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/newborn-enrolment?from=2026-01-01&to=2026-12-31`,
  ),
  'POST /v1/doses/{doseId}/move': bound(
    ['vaccinator', 'manager', 'officer'],
    (place) => `/v1/doses/${place.doseId}/move`,
    () => ({ card: '12345678' }),
  ),
  'GET /v1/districts/{districtId}/birth-doses': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/birth-doses?from=2026-01-01&to=2026-12-31`,
  ),
  'POST /v1/children/{childId}/clinical-notes': bound(
    ['manager', 'officer'],
    (place) => `${child(place)}/clinical-notes`,
    () => ({
      decision: { kind: 'put-off', vaccine: 'MR', until: '2099-01-01' },
      reason: 'ill',
      decidedBy: 'District clinical officer',
    }),
  ),
  'GET /v1/children/{childId}/clinical-notes': bound(
    ['manager', 'officer'],
    (place) => `${child(place)}/clinical-notes`,
  ),
  'POST /v1/children/{childId}/clinical-notes/{noteId}/end': bound(
    ['manager', 'officer'],
    (place) => `${child(place)}/clinical-notes/00000000-0000-4000-8000-000000000000/end`,
    () => ({}),
  ),
  'GET /v1/districts/{districtId}/clinical-notes': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/clinical-notes`,
  ),
  'PUT /v1/children/{childId}/birth-group': bound(
    STAFF,
    (place) => `${child(place)}/birth-group`,
    ({ childId, otherChildId }) => ({ childIds: [childId, otherChildId] }),
  ),
  'GET /v1/districts/{districtId}/doubles': bound(STAFF, (place) => `${district(place)}/doubles`),
  'POST /v1/districts/{districtId}/doubles/check': bound(
    STAFF,
    (place) => `${district(place)}/doubles/check`,
    () => ({}),
  ),
  'POST /v1/children/{childId}/doubles': bound(
    STAFF,
    (place) => `${child(place)}/doubles`,
    ({ otherChildId }) => ({ otherChildId }),
  ),
  'POST /v1/doses/{doseId}/doubles': bound(
    STAFF,
    ({ doseId }) => `/v1/doses/${doseId}/doubles`,
    () => ({ otherDoseId: NOWHERE }),
  ),
  'GET /v1/doubles/{itemId}': bound(STAFF, ({ doubleId }) => `/v1/doubles/${doubleId}`),
  'POST /v1/doubles/{itemId}/merge': bound(
    LEADERS,
    ({ doubleId }) => `/v1/doubles/${doubleId}/merge`,
    ({ childId }) => ({ staysId: childId }),
  ),
  'POST /v1/doubles/{itemId}/not-double': bound(
    LEADERS,
    ({ doubleId }) => `/v1/doubles/${doubleId}/not-double`,
    () => ({}),
  ),
  'POST /v1/doubles/{itemId}/one-dose': bound(
    LEADERS,
    ({ doubleId }) => `/v1/doubles/${doubleId}/one-dose`,
    () => ({ keepDoseId: NOWHERE }),
  ),
  // A merge of another district has its test with the merges.
  'POST /v1/merges/{mergeId}/undo': bound(
    LEADERS,
    () => `/v1/merges/${NOWHERE}/undo`,
    () => ({}),
  ),
  'GET /v1/districts/{districtId}/double-rules': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/double-rules`,
  ),
  'POST /v1/districts/{districtId}/double-rules/trial': bound(
    LEADERS,
    (place) => `${district(place)}/double-rules/trial`,
    () => DOUBLE_RULES,
  ),
  'PUT /v1/districts/{districtId}/double-rules': bound(
    LEADERS,
    (place) => `${district(place)}/double-rules`,
    () => DOUBLE_RULES,
  ),
  'GET /v1/schedules': unbound(EVERYONE, '/v1/schedules'),
  'GET /v1/schedules/{scheduleId}': unbound(EVERYONE, SCHEDULE),
  'GET /v1/schedules/{scheduleId}/chart.svg': unbound(EVERYONE, `${SCHEDULE}/chart.svg`),
  // Concerns every district: only an officer of all of them may.
  'POST /v1/schedules': bound(
    ['officer'],
    () => '/v1/schedules',
    () => ({}),
  ),
  'GET /v1/districts/{districtId}/message-report': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/message-report?month=2026-03`,
  ),
  'GET /v1/districts/{districtId}/spending': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/spending`,
  ),
  'PUT /v1/districts/{districtId}/spending': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/spending`,
    () => readDataFile('delivery/spending.json'),
  ),
  'GET /v1/districts/{districtId}/retention': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/retention`,
  ),
  'PUT /v1/districts/{districtId}/retention': bound(
    ['officer'],
    (place) => `${district(place)}/retention`,
    () => ({
      textsIn: 90,
      reminders: 60,
      replies: 60,
      webhookCalls: 7,
      closedChildren: null,
      grownChildren: null,
    }),
  ),
  'GET /v1/districts/{districtId}/advice': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/advice`,
  ),
  'PUT /v1/districts/{districtId}/advice/{language}/sign-off': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/advice/en/sign-off`,
    () => ({ version: 'x', signedBy: 'A clinician' }),
  ),
  'POST /v1/districts/{districtId}/calendar-links': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/calendar-links`,
    ({ childId }) => ({ of: { kind: 'child', childId } }),
  ),
  'GET /v1/districts/{districtId}/calendar-links': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/calendar-links`,
  ),
  'POST /v1/districts/{districtId}/calendar-links/{linkId}/end': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/calendar-links/00000000-0000-4000-8000-000000000000/end`,
    () => ({}),
  ),
  'POST /v1/districts/{districtId}/group-texts': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/group-texts`,
    () => ({ bornFrom: '2026-01-01', bornTo: '2026-01-31', series: 'MR', dose: 1, words: { en: 'A day.' } }),
  ),
  'GET /v1/districts/{districtId}/register.csv': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/register.csv`,
  ),
  'GET /v1/runs': unbound(['officer', 'operator'], '/v1/runs'),
  'GET /v1/districts/{districtId}/dead-letters': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/dead-letters`,
  ),
  'POST /v1/districts/{districtId}/dead-letters/{textId}/send-again': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/dead-letters/${place.failedTextId}/send-again`,
    () => ({}),
  ),
  'POST /v1/districts/{districtId}/dead-letters/{textId}/close': bound(
    ['manager', 'officer'],
    (place) => `${district(place)}/dead-letters/${place.failedTextId}/close`,
  ),
  'GET /v1/districts/{districtId}/messages': bound(
    ['manager', 'officer', 'operator'],
    (place) => `${district(place)}/messages`,
  ),
  'POST /v1/children/{childId}/numbers': bound(
    STAFF,
    (place) => `${child(place)}/numbers`,
    ({ childId }) => ({ numbers: [{ issuer: 'urn:example:civil-register', number: childId }] }),
  ),
  'GET /v1/districts/{districtId}/doses-aside': bound(
    ['manager', 'officer', 'machine'],
    (place) => `${district(place)}/doses-aside`,
  ),
  'POST /v1/webhooks': bound(
    ['officer', 'operator'],
    () => '/v1/webhooks',
    (place) => ({
      districtId: place.district.id,
      name: 'a register',
      url: 'https://register.example/hooks',
      kinds: ['missed'],
    }),
  ),
  'GET /v1/webhooks': unbound(['officer', 'operator'], '/v1/webhooks'),
  'PATCH /v1/webhooks/{webhookId}': bound(['officer', 'operator'], webhook, () => ({ name: 'it' })),
  'POST /v1/webhooks/{webhookId}/secret': bound(
    ['officer', 'operator'],
    (place) => `${webhook(place)}/secret`,
  ),
  'GET /v1/webhooks/{webhookId}/calls': bound(['officer', 'operator'], (place) => `${webhook(place)}/calls`),
  'POST /v1/webhooks/{webhookId}/replay': bound(
    ['officer', 'operator'],
    (place) => `${webhook(place)}/replay`,
    () => ({}),
  ),
  'GET /fhir/R4/$export': unbound(['manager', 'officer', 'machine'], '/fhir/R4/$export'),
  'GET /fhir/R4/$export-manifest': unbound(
    ['manager', 'officer', 'machine'],
    '/fhir/R4/$export-manifest?_until=2026-03-04T07:00:00Z',
  ),
  'GET /fhir/R4/$export-file/{type}': unbound(
    ['manager', 'officer', 'machine'],
    '/fhir/R4/$export-file/Location?_until=2026-03-04T07:00:00Z&_salt=invented-for-this-test',
  ),
  'GET /fhir/R4/AdverseEvent/{id}': bound(STAFF, ({ reactionId }) => `/fhir/R4/AdverseEvent/${reactionId}`),
  'GET /fhir/R4/AdverseEvent': bound(STAFF, ({ childId }) => `/fhir/R4/AdverseEvent?subject=${childId}`),
  'GET /fhir/R4/Patient/{id}': bound(STAFF, ({ childId }) => `/fhir/R4/Patient/${childId}`),
  'GET /fhir/R4/Patient': unbound(STAFF, '/fhir/R4/Patient'),
  'GET /fhir/R4/Patient/{id}/$everything': bound(
    STAFF,
    ({ childId }) => `/fhir/R4/Patient/${childId}/$everything`,
  ),
  'GET /fhir/R4/Immunization/{id}': bound(STAFF, ({ doseId }) => `/fhir/R4/Immunization/${doseId}`),
  'GET /fhir/R4/Immunization': bound(STAFF, ({ childId }) => `/fhir/R4/Immunization?patient=${childId}`),
  'GET /fhir/R4/ImmunizationRecommendation/{id}': bound(
    STAFF,
    ({ childId }) => `/fhir/R4/ImmunizationRecommendation/${childId}`,
  ),
  'GET /fhir/R4/ImmunizationRecommendation': bound(
    STAFF,
    ({ childId }) => `/fhir/R4/ImmunizationRecommendation?patient=${childId}`,
  ),
  'GET /fhir/R4/Location/{id}': unbound(STAFF, '/fhir/R4/Location/019abe80-0000-7000-8000-000000000000'),
  'POST /fhir/R4': bound(
    STAFF,
    (place) => `/fhir/R4?district=${place.district.id}`,
    () => ({ resourceType: 'Bundle', type: 'batch', entry: [] }),
  ),
  'GET /fhir/R4/Location': unbound(STAFF, '/fhir/R4/Location'),
  'GET /v1/children/{childId}/everything-held': bound(LEADERS, (place) => `${child(place)}/everything-held`),
  'PUT /v1/children/{childId}/sharing': bound(
    ['vaccinator', 'manager', 'officer'],
    (place) => `${child(place)}/sharing`,
    () => ({ barred: false }),
  ),
  'GET /v1/districts/{districtId}/people': bound(LEADERS, (place) => `${district(place)}/people`),
  'POST /v1/districts/{districtId}/people/{personId}/pin-code': bound(
    LEADERS,
    (place) => `${district(place)}/people/${place.personId}/pin-code`,
  ),
  'POST /v1/districts/{districtId}/tokens': bound(
    LEADERS,
    (place) => `${district(place)}/tokens`,
    () => ({ name: 'a tablet', role: 'vaccinator' }),
  ),
  'GET /v1/districts/{districtId}/tokens': bound(LEADERS, (place) => `${district(place)}/tokens`),
  'POST /v1/districts/{districtId}/tokens/{tokenId}/end': bound(
    LEADERS,
    (place) => `${district(place)}/tokens/${NOWHERE}/end`,
  ),
  // The last one, since nothing is there to be asked for afterwards.
  'POST /v1/children/{childId}/erase': bound(
    ['officer'],
    ({ otherChildId }) => `/v1/children/${otherChildId}/erase`,
    () => ({ reason: 'family-asked', askedBy: 'mother' }),
  ),
}

let enrolled = 0

/** Never the same child twice: letters, for likeness counts. */
function enrolment(place: Place): object {
  enrolled += 1
  const letter = String.fromCharCode(64 + (enrolled % 26 || 26))
  return {
    villageId: place.district.villageId('Mbari'),
    name: `${letter.repeat(8)} ${letter.repeat(4)}`,
    sex: null,
    birthDate: '2026-02-01',
    isKnownToBeNew: true,
  }
}
