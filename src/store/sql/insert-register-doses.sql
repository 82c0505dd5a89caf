-- Stores doses of a register that were never on record, not even withdrawn; answers the children who have a new one.
-- $1 district (uuid); $2 json array of {id, childId, birthOn, vaccine, givenOn, typedNumber}; $3 by whom (text);
-- $4 now (timestamptz). The children are new, or held by find-registered, so nobody else gives them a dose meanwhile.
-- Served by dose_is_recorded_once_a_day and dose_of_child_idx.
with added as (
  insert into dose (
    id, district_id, child_id, birth_on, vaccine, given_on, typed_number, recorded_by, recorded_via, recorded_at
  )
  select
    g.id, $1::uuid, g."childId", g."birthOn", g.vaccine, g."givenOn", g."typedNumber", $3, 'import', $4::timestamptz
  from jsonb_to_recordset($2::jsonb) as g(
    id uuid, "childId" uuid, "birthOn" date, vaccine text, "givenOn" date, "typedNumber" integer
  )
  where not exists (
    select from dose d
    where d.child_id = g."childId" and d.vaccine = g.vaccine and d.given_on = g."givenOn"
  )
  returning id, child_id
)
select child_id::text, array_agg(id::text) as dose_ids
from added
group by child_id
