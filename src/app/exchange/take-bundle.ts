import type { z } from 'zod'
import { namesOf } from '../../core/exchange/bundle-in.ts'
import type { BundleEntry, bundleShape } from '../../core/exchange/bundle-in.ts'
import { readImmunization } from '../../core/exchange/immunization-in.ts'
import { readPatient } from '../../core/exchange/patient-in.ts'
import type { ReadOutcome } from '../../core/exchange/read-parts.ts'
import type { Resource } from '../../core/exchange/resource.ts'
import { Refusal } from '../../core/refusals.ts'
import { attempt } from '../../store/attempt.ts'
import type { Transaction } from '../../store/database.ts'
import { getDistrict, getVillage, listHealthPosts } from '../../store/districts.ts'
import { hold } from '../../store/hold.ts'
import type { Deps } from '../deps.ts'
import { todayIn } from '../deps.ts'
import { noteChange } from '../note-change.ts'
import { bundleResponse } from './bundle-response.ts'
import type { Answer } from './bundle-response.ts'
import { childMeant } from './child-meant.ts'
import type { ExchangeScope } from './scope.ts'
import { takeChild } from './take-child.ts'
import { settleWaiting } from './settle-waiting.ts'
import { takeDose } from './take-dose.ts'

export interface Delivery {
  readonly districtId: string
  /** Where children live whose address names no village. */
  readonly villageId: string | null
  readonly by: string
  readonly bundle: z.output<typeof bundleShape>
}

/**
 * Takes a Bundle from another register: its children first, then its doses. A transaction is taken whole or not at
 * all, of a batch each entry for itself. Deliveries to one district wait for each other; the same one again, or a
 * part of it, changes nothing.
 * @throws {Refusal} village-not-found and, of a transaction, that of its first entry that is refused
 */
export async function takeBundle(tx: Transaction, deps: Deps, delivery: Delivery): Promise<Resource> {
  const { bundle } = delivery
  const scope = await openScope(tx, delivery)
  await hold(tx, [`exchange ${scope.district.id}`])
  const inBundle = new Map<string, string>()
  const answers = new Map<BundleEntry, Answer>()
  const childrenFirst = [...bundle.entry].sort((a, b) => Number(isPatient(b)) - Number(isPatient(a)))
  for (const entry of childrenFirst) {
    const answer = await takeEntry(tx, deps, scope, { entry, inBundle })
    if (answer.kind === 'refused' && bundle.type === 'transaction') {
      const { code, detail, facts } = answer.refusal
      throw new Refusal(code, `entry ${bundle.entry.indexOf(entry) + 1}: ${detail}`, { facts })
    }
    answers.set(entry, answer)
  }
  const inOrder = bundle.entry.flatMap((entry) => answers.get(entry) ?? [])
  await noteDelivery(tx, deps, scope, inOrder)
  return bundleResponse(bundle.type, inOrder)
}

const isPatient = ({ resource }: BundleEntry): boolean => resource?.resourceType === 'Patient'

/** @throws {Refusal} district-not-found, village-not-found */
async function openScope(tx: Transaction, { districtId, villageId, by }: Delivery): Promise<ExchangeScope> {
  const district = await getDistrict(tx, districtId)
  const posts = await listHealthPosts(tx, districtId)
  if (villageId !== null && (await getVillage(tx, villageId)).districtId !== districtId) {
    throw new Refusal('village-not-found', `The village ${villageId} is not in ${district.name}.`)
  }
  return { district, postIds: new Set(posts.map(({ id }) => id)), villageId, by }
}

interface Entering {
  readonly entry: BundleEntry
  readonly inBundle: Map<string, string>
}

async function takeEntry(
  tx: Transaction,
  deps: Deps,
  scope: ExchangeScope,
  { entry, inBundle }: Entering,
): Promise<Answer> {
  try {
    refuseOtherWrites(entry)
    if (!isPatient(entry)) {
      const stated = legible(readImmunization(entry.resource, deps.shelf.codes))
      const child = await childMeant(tx, stated.child, { districtId: scope.district.id, inBundle })
      return {
        kind: 'taken',
        type: 'Immunization',
        taken: await takeDose(tx, deps, scope, { stated, child }),
      }
    }
    const stated = legible(readPatient(entry.resource, todayIn(deps, scope.district)))
    const outcome = await attempt(tx, () => takeChild(tx, deps, scope, stated))
    if (outcome.kind === 'refused') return outcome
    for (const name of namesOf(entry)) inBundle.set(name, outcome.value.id)
    await settleWaiting(tx, deps, outcome.value.id)
    return { kind: 'taken', type: 'Patient', taken: outcome.value }
  } catch (error) {
    if (error instanceof Refusal) return { kind: 'refused', refusal: error }
    throw error
  }
}

/** New records come in; what is here is never replaced or removed by a delivery. @throws {Refusal} resource-unsupported */
function refuseOtherWrites({ request: { method, url }, resource }: BundleEntry): void {
  const type = resource?.resourceType ?? ''
  const isCreate = method === 'POST' && url === type
  const isConditional = method === 'PUT' && url.startsWith(`${type}?identifier=`)
  if ((type === 'Patient' || type === 'Immunization') && (isCreate || isConditional)) return
  throw new Refusal(
    'resource-unsupported',
    `${method} ${url} is not taken; send a Patient or an Immunization with POST, or with PUT by its identifier.`,
  )
}

/** @throws {Refusal} resource-invalid */
function legible<T>(read: ReadOutcome<T>): T {
  if (read.kind === 'read') return read.value
  throw new Refusal('resource-invalid', read.problem)
}

/** Who sent how much, and what came of it. */
async function noteDelivery(
  tx: Transaction,
  deps: Deps,
  { district, by }: ExchangeScope,
  answers: readonly Answer[],
): Promise<void> {
  const count = (kind: string) =>
    answers.filter((answer) => (answer.kind === 'taken' ? answer.taken.kind : answer.kind) === kind).length
  await noteChange(tx, deps, {
    districtId: district.id,
    actor: by,
    act: 'exchange-in',
    subject: { kind: 'district', id: district.id },
    after: {
      entries: answers.length,
      created: count('created'),
      known: count('known'),
      keptAside: count('kept-aside'),
      refused: count('refused'),
    },
  })
}
