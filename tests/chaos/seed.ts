import { enrolChild } from '../../src/app/enrol-child.ts'
import type { Deps } from '../../src/app/deps.ts'
import { districtFile } from '../../src/app/district-file.ts'
import { loadDistrict } from '../../src/app/load-district.ts'
import { mustParseDay } from '../../src/core/days/day.ts'
import type { Store } from '../../src/main/with-store.ts'
import { listVillages } from '../../src/store/districts.ts'

/** Ofcom keeps +44 7700 900000 to 900999 for drama; every district writes to the same thousand. */
const FIRST_PHONE = 447_700_900_000
const PHONES = 1000

/** A district whose evening has begun: nothing may leave there while it is morning in the others. */
const ASLEEP = 'Late Island'

export interface Seeded {
  /** Children to be reminded, by what their text calls them. */
  readonly names: ReadonlySet<string>
  readonly asleep: ReadonlySet<string>
}

/**
 * Children in districts of a thousand at most, each with a reminder that is due at `deps.clock`: one child of a
 * district is enrolled and planned as ever, the others are copies of what came of it.
 */
export async function seed(
  deps: Deps,
  database: Pick<Store, 'pool' | 'vault'>,
  count: number,
): Promise<Seeded> {
  const districts = Math.max(4, Math.ceil(count / PHONES))
  const each = Math.ceil(count / districts)
  const names = new Set<string>()
  const dueAt = deps.clock.now()
  for (let at = 0; at < districts; at += 1) {
    const first = await enrolFirst(deps, `District ${at}`, 'Africa/Nairobi', at)
    const size = Math.min(each, count - at * each)
    for (const name of await copy(database, first, { count: size, from: at * PHONES, dueAt })) names.add(name)
  }
  const first = await enrolFirst(deps, ASLEEP, 'Pacific/Kiritimati', districts)
  const asleep = new Set(
    await copy(database, first, { count: Math.min(50, each), from: districts * PHONES, dueAt }),
  )
  return { names, asleep }
}

/** The child whose plan is copied; it has a phone like no other, and no reminder of its own. */
async function enrolFirst(deps: Deps, name: string, timeZone: string, at: number): Promise<string> {
  return deps.database.transaction(async (tx) => {
    const { district, villages } = await load(deps, tx, name, timeZone)
    const [village] = villages
    if (village === undefined) throw new Error('a district without villages')
    const { child } = await enrolChild(tx, deps, {
      districtId: district.id,
      villageId: village.id,
      name: 'First',
      sex: 'female',
      birthOn: mustParseDay('2026-01-15'),
      isBirthEstimated: false,
      birthWeightGrams: null,
      birthMinute: null,
      cardNumber: null,
      caregiver: {
        number: `+441632960${String(at).padStart(3, '0')}`,
        language: 'en',
        relation: null,
        consent: 'given',
        consentSource: 'a seed',
      },
      isKnownToBeNew: true,
      by: 'a seed',
      via: 'import',
    })
    return child.id
  })
}

async function load(deps: Deps, tx: Parameters<typeof loadDistrict>[0], name: string, timeZone: string) {
  const file = districtFile.parse({
    district: { name, timeZone, region: 'GB', languages: ['en'], schedule: 'who-2025-preferred' },
    posts: [{ name: 'Ford', sessions: ['FREQ=WEEKLY;BYDAY=TH'] }],
    villages: [{ name: 'Mbari', post: 'Ford' }],
  })
  const { district } = await loadDistrict(tx, deps, file)
  return { district, villages: await listVillages(tx, district.id) }
}

interface Copies {
  readonly count: number
  readonly from: number
  readonly dueAt: Date
}

/** Copies a child with its plan so often; the copies are named C and six digits. */
async function copy(
  { pool, vault }: Pick<Store, 'pool' | 'vault'>,
  childId: string,
  { count, from, dueAt }: Copies,
): Promise<string[]> {
  const names = Array.from({ length: count }, (_, at) => `C${String(from + at).padStart(6, '0')}`)
  const rows = names.map((name, at) => ({
    card: String(10_000_000 + from + at),
    name: vault.seal('text', name),
    number: vault.seal('number', `+${FIRST_PHONE + ((from + at) % PHONES)}`),
  }))
  const client = await pool.connect()
  try {
    await client.query('begin')
    await client.query(
      `create temporary table copied on commit drop as
      select *, gen_random_uuid() as child_id, gen_random_uuid() as line_id, gen_random_uuid() as visit_id
      from jsonb_to_recordset($1::jsonb) as k (card text, name text, number text)`,
      [JSON.stringify(rows)],
    )
    for (const insert of inserts(childId, dueAt)) await client.query(insert)
    await client.query('commit')
  } finally {
    client.release()
  }
  return names
}

const inserts = (childId: string, dueAt: Date): readonly string[] => [
  `insert into child (id, district_id, village_id, card_number, name, sex, birth_on, enrolled_on, enrolled_by, enrolled_via)
    select k.child_id, c.district_id, c.village_id, k.card, k.name, c.sex, c.birth_on, c.enrolled_on, 'a copy', 'import'
    from copied k, child c where c.id = '${childId}'`,
  `insert into phone_line (id, district_id, number, number_start, language, consent, consent_source, consent_at)
    select k.line_id, c.district_id, k.number, '+447700', 'en', 'given', 'a seed', now()
    from copied k, child c where c.id = '${childId}'`,
  `insert into caregiver (id, child_id, line_id) select gen_random_uuid(), child_id, line_id from copied`,
  `insert into appointment (id, district_id, child_id, village_id, session_on, doses, schedule_code, created_at)
    select k.visit_id, a.district_id, k.child_id, a.village_id, a.session_on, a.doses, a.schedule_code, a.created_at
    from copied k, appointment a where a.child_id = '${childId}'`,
  `insert into reminder (id, district_id, child_id, line_id, appointment_id, kind, about_on, send_at, useful_until, created_at, updated_at)
    select gen_random_uuid(), r.district_id, k.child_id, k.line_id, k.visit_id, r.kind, r.about_on,
      case r.kind when 'eve' then '${dueAt.toISOString()}'::timestamptz else r.send_at end,
      r.useful_until, r.created_at, r.updated_at
    from copied k, reminder r where r.child_id = '${childId}' and r.kind in ('eve', 'missed-1', 'missed-2')`,
]
