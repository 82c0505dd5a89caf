-- Children who stand near others by place, day of birth or phone, so that names are worth comparing.
-- $1 district (uuid); $2 children to compare (uuid[]); $3, $4 days apart within which children of one village, and of
-- one district, are compared; $5 json array of {childId, birthOn}: other days on which a slip of the pen puts a birth.
-- Served by child_of_village_idx, child_of_district_by_birth_idx and caregiver_of_line_idx.
with asked as (
  select c.id, c.village_id, c.birth_on from child c where c.id = any($2::uuid[])
),
near as (
  select a.id, o.id as other_id
  from asked a
  join child o on o.village_id = a.village_id and o.birth_on between a.birth_on - $3::int and a.birth_on + $3::int
  union
  select a.id, o.id
  from asked a
  join child o on o.district_id = $1::uuid and o.birth_on between a.birth_on - $4::int and a.birth_on + $4::int
  union
  select g."childId", o.id
  from jsonb_to_recordset($5::jsonb) as g("childId" uuid, "birthOn" date)
  join child o on o.district_id = $1::uuid and o.birth_on = g."birthOn"
  union
  select k.child_id, l.child_id
  from caregiver k
  join caregiver l on l.line_id = k.line_id and l.until is null
  where k.child_id = any($2::uuid[]) and k.until is null
)
select distinct least(n.id, n.other_id)::text as one_id, greatest(n.id, n.other_id)::text as other_id
from near n
join child o on o.id = n.other_id
where n.id <> n.other_id and o.district_id = $1::uuid and o.status not in ('duplicate', 'entered-in-error')
  and o.erased_at is null
order by 1, 2
