import type { Database } from '../../src/store/database.ts'

/** Draws every dose of a filled register from a vial: ten doses of a vaccine to a vial, ten vials to a lot. */
export async function fillVials({ pool }: Pick<Database, 'pool'>): Promise<void> {
  await pool.query(`
    create temporary table draw as
      select id as dose_id, district_id, vaccine,
        (row_number() over (partition by district_id, vaccine order by id) - 1) / 10 as place
      from dose;
    create temporary table opened as
      select gen_random_uuid() as id, district_id, vaccine, place
      from draw group by district_id, vaccine, place;
    insert into vial (
      id, district_id, number, vaccine, product, lot, expiry_on, opened_at, opened_by, opened_via, policy,
      discard_by, discard_because
    )
      select id, district_id, 100 + row_number() over (partition by district_id), vaccine, 'bench',
        vaccine || place / 10, date '2027-05-31', now(), 'bench', 'api', 'who-2014', now() + interval '28 days',
        'open-days'
      from opened;
    update dose set vial_id = opened.id
      from draw join opened using (district_id, vaccine, place)
      where dose.id = draw.dose_id;
    drop table draw, opened;
    analyze vial, dose`)
}
