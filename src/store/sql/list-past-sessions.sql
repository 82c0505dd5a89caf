-- The last sessions of a post at which anyone was expected, newest first: how many were, and how many of them came.
-- $1 district (uuid); $2 health post (uuid); $3 first day, $4 the day after the last (date); $5 how many.
-- Served by appointment_by_past_day_idx.
select count(*)::int as due, count(*) filter (where a.status = 'kept')::int as came
from appointment a
join village v on v.id = a.village_id
where a.district_id = $1::uuid
  and v.post_id = $2::uuid
  and a.session_on >= $3::date
  and a.session_on < $4::date
  and a.status in ('kept', 'missed')
group by a.session_on
order by a.session_on desc
limit $5::int
