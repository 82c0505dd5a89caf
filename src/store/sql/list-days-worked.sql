-- Days on which a post gave doses that were reported. $1 district (uuid); $2 first and $3 last day (date).
select distinct d.post_id::text, d.given_on::text
from dose d
where d.district_id = $1::uuid
  and d.post_id is not null
  and d.voided_at is null
  and d.given_on between $2::date and $3::date
order by 1, 2
