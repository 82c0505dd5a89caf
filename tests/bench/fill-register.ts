import type { Database } from '../../src/store/database.ts'
import { testVault } from '../support/test-vault.ts'

export const DOSES_A_CHILD = 12
const CHILDREN_A_VILLAGE = 1000
const VILLAGES_A_DISTRICT = 50

const villagesFor = (children: number): number => Math.max(1, Math.round(children / CHILDREN_A_VILLAGE))
const districtsFor = (children: number): number =>
  Math.max(1, Math.round(villagesFor(children) / VILLAGES_A_DISTRICT))

/**
 * Fills an empty, migrated database with children of five birth years, a thousand to a village, fifty villages to a
 * district, twelve doses each. Rows as the service would write them, made inside the database.
 */
export async function fillRegister({ pool }: Database, children: number): Promise<void> {
  const client = await pool.connect()
  try {
    await client.query('set statement_timeout = 0')
    await client.query(fillSql(children))
    await client.query('vacuum analyze')
  } finally {
    client.release()
  }
}

const fillSql = (
  children: number,
): string => `insert into district (id, name, time_zone, region, languages, schedule_code)
     select gen_random_uuid(), 'District ' || n, 'Africa/Nairobi', 'KE', '{en}', 'who-2025-preferred'
     from generate_series(1, ${districtsFor(children)}) n;
     insert into health_post (id, district_id, name) select gen_random_uuid(), id, 'Post' from district;
     insert into village (id, district_id, post_id, name, population, births_per_1000, infant_deaths_per_1000_births)
     select gen_random_uuid(), p.district_id, p.id, 'Village ' || n, 5000, 40, 50
     from health_post p, generate_series(1, ${villagesFor(children) / districtsFor(children)}) n;
     create temporary table place as
     select id, district_id, row_number() over () - 1 as place from village;
     insert into child (id, district_id, village_id, card_number, name, sex, birth_on, enrolled_on, enrolled_by, enrolled_via)
     select
       gen_random_uuid(), p.district_id, p.id, lpad(n::text, 8, '0'), '${testVault.seal('text', 'Child')}',
       case when n % 2 = 0 then 'female' else 'male' end, date '2021-01-01' + (n % 1826 * 7919 % 1826), date '2026-11-01', 'bench', 'import'
     from generate_series(1, ${children}) n
     join place p on p.place = n % ${villagesFor(children)};
     create temporary table plan (vaccine text, series text, number int, age int);
     insert into plan values
       ('BCG', 'BCG', 1, 1), ('HEPB', 'HEPB0', 1, 0), ('BOPV', 'OPV', 1, 42), ('BOPV', 'OPV', 2, 70), ('BOPV', 'OPV', 3, 98),
       ('PENTA', 'PENTA', 1, 42), ('PENTA', 'PENTA', 2, 70), ('PENTA', 'PENTA', 3, 98),
       ('PCV', 'PCV', 1, 42), ('PCV', 'PCV', 2, 70), ('PCV', 'PCV', 3, 98), ('MR', 'MR', 1, 275);
     insert into dose (id, district_id, child_id, birth_on, vaccine, given_on, typed_number, recorded_by, recorded_via, recorded_at)
     select gen_random_uuid(), c.district_id, c.id, c.birth_on, p.vaccine,
       c.birth_on + p.age + (hashtext(c.card_number || p.series || p.number) & 7), p.number, 'bench', 'import', now()
     from child c, plan p;
     insert into counted_child (child_id, village_id, sex, birth_on, is_in_cohort)
     select id, village_id, sex, birth_on, true from child;
     create temporary table fact as
     select c.child_id, c.village_id, c.birth_on, p.series, p.number as dose, d.given_on
     from dose d
     join plan p on p.vaccine = d.vaccine and p.number = d.typed_number
     join counted_child c on c.child_id = d.child_id
     union all
     select child_id, village_id, birth_on, 'enrolled', 1, birth_on from counted_child;
     insert into coverage_cell (
       village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, crude, valid, timely
     )
     select
       village_id, extract(year from birth_on), true, 'routine', series, dose,
       date_trunc('month', given_on)::date, age_band(birth_on, given_on), count(*), count(*), count(*)
     from fact
     group by 1, 2, 3, 4, 5, 6, 7, 8;
     insert into counted_fact (child_id, series, dose, delivery, crude_on, valid_on, is_timely, cell)
     select f.child_id, f.series, f.dose, 'routine', f.given_on, f.given_on, true, c.id
     from fact f
     join coverage_cell c on
       (c.village_id, c.birth_year, c.series, c.dose, c.month_on, c.age_band) =
       (f.village_id, extract(year from f.birth_on)::int, f.series, f.dose,
        date_trunc('month', f.given_on)::date, age_band(f.birth_on, f.given_on));
     drop table fact`
