-- Puts children of a register on the register and joins them to the lines of their caregivers, which are stored already.
-- $1 district (uuid); $2 json array of {id, villageId, cardNumber, name, sex, birthOn, phones, caregiverId}, phones
-- being the forms a sealed number may have;
-- $3 by whom (text); $4 today (date), when they are enrolled and are to be planned; $5 now (timestamptz).
with given as (
  select *
  from jsonb_to_recordset($2::jsonb) as g(
    id uuid, "villageId" uuid, "cardNumber" text, name text, sex text, "birthOn" date, phones text[], "caregiverId" uuid
  )
),
enrolled as (
  insert into child (
    id, district_id, village_id, card_number, name, sex, birth_on,
    enrolled_on, enrolled_by, enrolled_via, plan_again_on, created_at
  )
  select
    id, $1::uuid, "villageId", "cardNumber", name, sex, "birthOn", $4::date, $3, 'import', $4::date, $5::timestamptz
  from given
)
insert into caregiver (id, child_id, line_id, since)
select g."caregiverId", g.id, l.id, $5::timestamptz
from given g
cross join lateral unnest(g.phones) as f(number)
join phone_line l on l.district_id = $1::uuid and l.number = f.number
