-- Planned visits whose day has passed. $1 district (uuid); $2 first day that has not passed (date); $3 limit.
-- Served by appointment_by_day_idx.
select id::text, child_id::text
from appointment
where status = 'planned'
  and district_id = $1::uuid
  and session_on < $2::date
order by session_on, id
limit $3::int
