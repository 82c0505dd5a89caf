-- Who is expected from one day to another, in no order: names are sealed.
-- $1 district (uuid); $2 health post (uuid or null); $3 village (uuid or null); $4 first day; $5 last day (date).
-- Served by appointment_by_day_idx.
select
  c.id::text as child_id,
  c.card_number,
  c.name,
  v.name as village,
  a.session_on::text,
  a.doses
from appointment a
join child c on c.id = a.child_id
join village v on v.id = a.village_id
where a.status = 'planned'
  and a.district_id = $1::uuid
  and ($2::uuid is null or v.post_id = $2::uuid)
  and ($3::uuid is null or a.village_id = $3::uuid)
  and a.session_on between $4::date and $5::date
