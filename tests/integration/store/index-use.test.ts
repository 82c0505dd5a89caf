import { readdirSync, readFileSync } from 'node:fs'
import { fillRegister } from '../../bench/fill-register.ts'
import { fillVials } from '../../bench/fill-vials.ts'
import { fillTexts } from '../../support/fill-texts.ts'
import { openTestDatabase } from '../../support/test-database.ts'

interface PlanNode {
  readonly 'Node Type': string
  readonly 'Relation Name'?: string
  readonly 'Index Name'?: string
  readonly Plans?: readonly PlanNode[]
}

/** Tables that grow with children, filled here. */
const GROWING = [
  ...[
    'child',
    'dose',
    'caregiver',
    'phone_line',
    'appointment',
    'reminder',
    'text_in',
    'text_out',
    'dialogue',
  ],
  ...['counted_child', 'counted_fact', 'coverage_cell'],
]

/** Statements that read a whole growing table, and when that happens; no other may. */
const READS_ALL: Readonly<Record<string, string>> = {
  'count-doses-given': 'a report',
  'count-entries-by-post': 'a report',
  'count-texts-by-village': 'a report',
  'count-texts-in': 'a report',
  'count-texts-waiting': 'a report for whoever looks at delivery',
  'count-uncounted-doses': 'a report',
  'lapse-reminders': 'a sweep: not knowing the instant, the planner expects many to be late',
  'list-days-worked': 'a report',
  'list-delays': 'a report',
  'list-double-suspects': 'a batch compares children of one district',
  'list-wrong-sums': 'a check of all sums, by command',
  'page-immunizations': 'a page whose filters are all left open',
  'page-patients': 'a page whose filters are all left open',
  'pick-bundles': 'lanes by prefix, where several networks are set, look through the lines',
  'put-counted': 'not knowing the children, the planner expects facts of very many',
  'read-delivery-state': 'figures of the gateway, for whoever looks at delivery',
  'settle-restored-reminders': 'once, after a restore',
  'settle-restored-texts': 'once, after a restore',
}

/** Steps of a transaction have no plan. */
const STEPS = ['begin-attempt', 'keep-attempt', 'undo-attempt']

/** Hot statements that Prisma writes, by what asks them. */
const BY_KEY: Readonly<Record<string, string>> = {
  'the session of a USSD dialogue': 'select * from dialogue where gateway = $1 and id = $2',
  'a text that came in before': 'select * from text_in where gateway = $1 and key = $2',
  'the lines of a number': 'select * from phone_line where district_id = $1 and number = any($2)',
  'the doses of a child': 'select * from dose where child_id = $1 and voided_at is null order by given_on',
  'the planned visit of a child': `select * from appointment where child_id = $1 and status = 'planned'`,
  'a child by its card': 'select * from child where card_number = $1',
}

const STATEMENTS = readdirSync('src/store/sql')
  .map((file) => file.replace('.sql', ''))
  .filter((name) => !STEPS.includes(name))

const database = await openTestDatabase()

beforeAll(async () => {
  await fillRegister(database, 5000)
  await fillTexts(database)
}, 120_000)

describe('on a filled register', () => {
  test.each(STATEMENTS)(
    '%s finds rows of growing tables by an index, unless it says why not',
    async (name) => {
      const tables = await readWhole(readFileSync(`src/store/sql/${name}.sql`, 'utf8'))

      expect(tables.length > 0).toBe(name in READS_ALL)
    },
  )

  test('who received a lot is found by the lot of a vial and the vial of a dose', async () => {
    await fillVials(database)
    const vials = 'select * from vial where district_id = $1 and lot = $2 and voided_at is null'
    const doses = readFileSync('src/store/sql/list-doses-of-vials.sql', 'utf8')

    expect(await indexesOf(vials)).toContain('vial_of_lot_idx')
    expect(await indexesOf(doses)).toContain('dose_of_vial_idx')
    expect(await readWhole(doses)).toEqual([])
  })

  test.each(Object.entries(BY_KEY))('%s is found by an index', async (_, sql) => {
    expect(await readWhole(sql)).toEqual([])
  })
})

/** The growing tables that a statement reads from end to end, whatever its parameters are. */
async function readWhole(sql: string): Promise<readonly string[]> {
  return (await planOf(sql)).flatMap(tableReadWhole)
}

/** The indexes by which a statement finds its rows. */
async function indexesOf(sql: string): Promise<readonly string[]> {
  return (await planOf(sql)).flatMap((node) => node['Index Name'] ?? [])
}

async function planOf(sql: string): Promise<readonly PlanNode[]> {
  const { rows } = await database.pool.query<{ 'QUERY PLAN': readonly [{ readonly Plan: PlanNode }] }>(
    `explain (generic_plan, format json) ${sql}`,
  )
  return rows.flatMap((row) => nodesOf(row['QUERY PLAN'][0].Plan))
}

function nodesOf(node: PlanNode): readonly PlanNode[] {
  return [node, ...(node.Plans ?? []).flatMap(nodesOf)]
}

function tableReadWhole({ 'Node Type': type, 'Relation Name': table }: PlanNode): readonly string[] {
  return type === 'Seq Scan' && table !== undefined && GROWING.includes(table) ? [table] : []
}
