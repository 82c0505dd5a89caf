import { z } from 'zod'
import type { districtFile } from '../../src/app/district-file.ts'
import type { TokenRole } from '../../src/app/tokens.ts'
import { childShape } from '../../src/http/shapes.ts'
import type { ApiReply } from './api-client.ts'
import type { RunningService } from './running-service.ts'

export type DistrictData = z.input<typeof districtFile>
export type ChildJson = z.output<typeof childShape>

/** What a test changes of the usual district. */
export interface DistrictWish {
  readonly district?: Partial<DistrictData['district']>
  readonly posts?: DistrictData['posts']
  readonly villages?: DistrictData['villages']
  readonly people?: DistrictData['people']
}

/** What a test says of a child; the rest is as usual. */
export interface ChildWish {
  readonly village?: string
  readonly name?: string
  readonly birthDate?: string
  readonly sex?: 'female' | 'male' | null
  /** Null: a family without a phone. Left out: a number of its own. */
  readonly phone?: string | null
  readonly language?: string
  readonly isKnownToBeNew?: boolean
}

/** A district of a running service, loaded over the API, and what a test does in it. */
export interface TestDistrict {
  readonly id: string
  readonly file: DistrictData
  readonly vaccinator: string
  readonly manager: string
  /** An officer's token bound to the district. */
  readonly token: string
  readonly tokenFor: (role: TokenRole) => Promise<string>
  readonly villageId: (name: string) => string
  readonly postId: (name: string) => Promise<string>
  readonly newPhone: () => string
  /** Enrols over the API; anything but a new child is a fault of the test. */
  readonly enrol: (wish?: ChildWish) => Promise<ChildJson>
  readonly tryToEnrol: (wish?: ChildWish) => Promise<ApiReply>
  readonly child: (id: string) => Promise<ChildJson>
  readonly load: (file: DistrictData) => Promise<ApiReply>
}

/** The number of a child's family; "" where it has none. */
export function phoneOf({ phones: lines }: Pick<ChildJson, 'phones'>): string {
  return lines[0]?.number ?? ''
}

/** Ofcom keeps +44 7700 900000 to 900999 for drama. */
const FIRST_PHONE = 447_700_900_000
let phones = 0

/** A number that no other test of the file uses. */
export function newPhone(): string {
  phones += 1
  if (phones > 999) throw new Error('no reserved number is left')
  return `+${FIRST_PHONE + phones}`
}

let made = 0

/** A district's file: one post with a session every Tuesday, two villages, a vaccinator and a manager. */
function districtData(wish: DistrictWish = {}): DistrictData {
  made += 1
  return {
    district: {
      name: `Two Rivers ${made}`,
      timeZone: 'Africa/Nairobi',
      region: 'GB',
      languages: ['en', 'fr', 'sw'],
      schedule: 'who-2025-preferred',
      ...wish.district,
    },
    posts: wish.posts ?? [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TU'] }],
    villages: wish.villages ?? [
      { name: 'Mbari', post: 'Ford', population: 1000, birthsPer1000: 40, infantDeathsPer1000Births: 25 },
      { name: 'Kesho', post: 'Ford', population: 500, birthsPer1000: 40, infantDeathsPer1000Births: 25 },
    ],
    people: wish.people ?? [
      { name: 'Wanda Ford', role: 'vaccinator', phone: newPhone(), post: 'Ford' },
      { name: 'Magnus Hill', role: 'manager', phone: newPhone() },
    ],
  }
}

const named = z.array(z.object({ id: z.string(), name: z.string() }))

/** Loads a district into a service. */
export async function newDistrict(
  service: Pick<RunningService, 'call' | 'tokenFor'>,
  wish: DistrictWish = {},
): Promise<TestDistrict> {
  const { call, tokenFor } = service
  const file = districtData(wish)
  const operator = await tokenFor('operator')
  const load = (given: DistrictData) => call('PUT', '/v1/districts', { token: operator, body: given })
  const loaded = await load(file)
  expect(loaded).toMatchObject({ status: 200 })
  const { id } = z.object({ id: z.string() }).parse(loaded.body)
  const token = await tokenFor('officer', id)
  const listed = await call('GET', `/v1/districts/${id}/villages`, { token })
  const { villages } = z.object({ villages: named }).parse(listed.body)
  const villageId = (name: string) => {
    const found = villages.find((village) => village.name === name)
    if (found === undefined) throw new Error(`no village ${name}`)
    return found.id
  }
  const tryToEnrol = (child: ChildWish = {}) =>
    call('POST', '/v1/children', { token, body: enrolment(villageId, child) })

  return {
    id,
    file,
    vaccinator: workerOf(file, 'vaccinator'),
    manager: workerOf(file, 'manager'),
    token,
    tokenFor: (role) => tokenFor(role, id),
    villageId,
    postId: async (name) => {
      const answer = await call('GET', `/v1/districts/${id}/posts`, { token })
      const { posts } = z.object({ posts: named }).parse(answer.body)
      return posts.find((post) => post.name === name)?.id ?? ''
    },
    newPhone,
    load,
    tryToEnrol,
    enrol: async (child) => {
      const reply = await tryToEnrol(child)
      expect(reply).toMatchObject({ status: 201 })
      return childShape.parse(reply.body)
    },
    child: async (childId) =>
      childShape.parse((await call('GET', `/v1/children/${childId}`, { token })).body),
  }
}

function workerOf({ people = [] }: DistrictData, role: string): string {
  return people.find((person) => person.role === role)?.phone ?? ''
}

function enrolment(villageId: (name: string) => string, child: ChildWish): object {
  const { village = 'Mbari', name = 'Asha Temba', birthDate = '2026-01-20', sex = 'female' } = child
  const { phone = newPhone(), language, isKnownToBeNew = false } = child
  return {
    villageId: villageId(village),
    name,
    sex,
    birthDate,
    isKnownToBeNew,
    ...(phone === null ? {} : { caregiver: { phone, ...(language === undefined ? {} : { language }) } }),
  }
}
