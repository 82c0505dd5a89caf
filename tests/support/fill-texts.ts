import type { Database } from '../../src/store/database.ts'

/**
 * Lays visits, lines, reminders and texts over the children that are there, most of them long over, as in a register
 * of some years. Rows as the service would write them, made inside the database; sealed values are stand-ins.
 */
export async function fillTexts({ pool }: Database): Promise<void> {
  await pool.query(`
    ${NEIGHBOURS};
    create temporary table numbered as
    select id, district_id, village_id, row_number() over () as n, gen_random_uuid() as line_id from child;
    insert into phone_line (id, district_id, number, number_start, language, consent)
    select line_id, district_id, 'sealed:n:' || n, '+44', 'en', 'given' from numbered;
    insert into caregiver (id, child_id, line_id, since)
    select gen_random_uuid(), id, line_id, now() from numbered;
    insert into appointment (id, district_id, child_id, village_id, session_on, doses, schedule_code, status, created_at, closed_at)
    select gen_random_uuid(), district_id, id, village_id, date '2026-01-06' + visit * 28, '[]', 'who-2025-preferred',
      case when visit < 8 then 'kept' else 'planned' end, now(), case when visit < 8 then now() end
    from numbered, generate_series(1, 8) visit;
    insert into text_in (id, gateway, key, from_number, to_number, body, received_at, handled_at, district_id)
    select gen_random_uuid(), 'bench', n || '-' || visit, 'sealed:n:' || n, '100', 'sealed:t:words',
      timestamptz '2026-01-06' + visit * interval '28 days', case when n % 100 > 0 or visit < 4 then now() end, district_id
    from numbered, generate_series(1, 4) visit;
    insert into text_out (id, district_id, number, body, purpose, is_urgent, parts, in_reply_to, status, created_at, send_at)
    select gen_random_uuid(), district_id, from_number, 'sealed:t:words', 'reply', true, 1, id,
      case when handled_at is null then 'waiting' else 'delivered' end, received_at, received_at
    from text_in;
    insert into reminder (id, district_id, child_id, line_id, appointment_id, kind, about_on, send_at, useful_until, status, created_at, updated_at)
    select gen_random_uuid(), a.district_id, a.child_id, n.line_id, a.id, 'eve', a.session_on, a.session_on - 1, a.session_on,
      case when a.status = 'planned' then 'planned' else 'delivered' end, now(), now()
    from appointment a join numbered n on n.id = a.child_id;
    insert into dialogue (gateway, id, number, state, updated_at)
    select 'bench', n::text, 'sealed:n:' || n, '"sealed:j:state"', now() from numbered;
    drop table numbered, neighbour`)
  await pool.query('vacuum analyze')
}

/** Districts beside the one, so that rows of one district are few among all. */
const NEIGHBOURS = `
    create temporary table neighbour as
    select gen_random_uuid() as id, gen_random_uuid() as post_id, gen_random_uuid() as village_id, n
    from generate_series(1, 20) n;
    insert into district (id, name, time_zone, region, languages, schedule_code)
    select id, 'Neighbour ' || n, 'Africa/Nairobi', 'KE', '{en}', 'who-2025-preferred' from neighbour;
    insert into health_post (id, district_id, name) select post_id, id, 'Post' from neighbour;
    insert into village (id, district_id, post_id, name, population, births_per_1000, infant_deaths_per_1000_births)
    select village_id, id, post_id, 'Village', 5000, 40, 50 from neighbour;
    insert into child (id, district_id, village_id, card_number, name, sex, birth_on, enrolled_on, enrolled_by, enrolled_via)
    select gen_random_uuid(), n.id, n.village_id, (90000000 + n.n * 10000 + row_number() over (partition by n.n))::text,
      c.name, c.sex, c.birth_on, c.enrolled_on, 'bench', 'import'
    from neighbour n, (select * from child limit 500) c;
    insert into coverage_cell (village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, crude, valid, timely)
    select n.village_id, c.birth_year, c.is_in_cohort, c.delivery, c.series, c.dose, c.month_on, c.age_band, c.crude, c.valid, c.timely
    from neighbour n, coverage_cell c
    where c.village_id = (select min(village_id::text)::uuid from coverage_cell)`
