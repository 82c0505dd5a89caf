-- Followed children who missed their last visit and have not come since, by village, longest waiting first.
-- $1 district (uuid); $2 health post (uuid or null); $3 village (uuid or null).
-- Served by child_of_village_idx and appointment_of_child_idx.
select
  c.id::text as child_id,
  c.card_number,
  c.name,
  v.name as village,
  last.session_on::text as missed_on,
  (
    select count(*)::int
    from appointment a
    where a.child_id = c.id and a.status = 'missed' and a.session_on > coalesce(seen.last_on, '-infinity'::date)
  ) as missed_visits,
  last.doses
from child c
join village v on v.id = c.village_id
cross join lateral (
  select a.status, a.session_on, a.doses
  from appointment a
  where a.child_id = c.id and a.status in ('kept', 'missed')
  order by a.session_on desc, a.id desc
  limit 1
) last
left join lateral (
  select max(d.given_on) as last_on from dose d where d.child_id = c.id and d.voided_at is null
) seen on true
where c.district_id = $1::uuid
  and ($2::uuid is null or v.post_id = $2::uuid)
  and ($3::uuid is null or c.village_id = $3::uuid)
  and c.status = 'active'
  and last.status = 'missed'
  and coalesce(seen.last_on < last.session_on, true)
order by v.name, last.session_on, c.id
