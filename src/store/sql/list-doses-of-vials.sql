-- Who got a dose from some vials, with where and by whom; withdrawn doses left out.
-- $1 vials (uuid[]). Served by dose_of_vial_idx.
select
  d.id::text as dose_id,
  d.vial_id::text,
  d.child_id::text,
  c.card_number,
  c.name,
  d.vaccine,
  d.given_on::text,
  d.given_minute,
  d.sent_at,
  d.recorded_by,
  coalesce(w.name, d.recorded_by) as worker,
  p.name as post,
  v.name as village
from dose d
join child c on c.id = d.child_id
join village v on v.id = c.village_id
left join health_post p on p.id = d.post_id
left join person w on w.id::text = d.recorded_by
where d.vial_id = any ($1::uuid[]) and d.voided_at is null
order by d.given_on, d.vial_id, coalesce(d.given_minute, 1440), d.sent_at, d.id
