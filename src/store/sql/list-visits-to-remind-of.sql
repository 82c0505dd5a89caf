-- Visits to come with each phone line that is reminded of them, to try a reminder policy on; names nobody.
-- $1 district (uuid); $2 first day; $3 last day (date). Served by appointment_by_day_idx.
select
  l.id::text as line_id,
  l.preference,
  c.birth_on::text,
  v.name as village,
  a.session_on::text,
  a.schedule_code,
  a.doses
from appointment a
join child c on c.id = a.child_id and c.status = 'active'
join village v on v.id = a.village_id
join caregiver g on g.child_id = c.id and g.until is null
join phone_line l on l.id = g.line_id and l.consent = 'given' and l.stopped_at is null
where a.status = 'planned'
  and a.district_id = $1::uuid
  and a.session_on between $2::date and $3::date
