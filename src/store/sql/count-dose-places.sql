-- Where the living doses of a district's children were given, against the post that serves their village.
-- $1 district (uuid); $2 first and $3 last day on which they were given (date, or null for any).
-- Served by child_of_village_idx and dose_of_child_idx.
select
  v.name as village,
  h.name as home_post,
  g.name as given_post,
  d.is_elsewhere,
  count(*)::int as doses
from village v
join health_post h on h.id = v.post_id
join child c on c.village_id = v.id and c.status <> 'duplicate'
join dose d on d.child_id = c.id and d.voided_at is null
left join health_post g on g.id = d.post_id
where v.district_id = $1::uuid
  and ($2::date is null or d.given_on between $2::date and $3::date)
group by v.name, h.name, g.name, d.is_elsewhere
