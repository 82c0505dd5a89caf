-- Doses on record that do not count, by village and reason. $1 district (uuid); $2 given since (date).
select v.id::text as village_id, v.name as village, w.reason, count(distinct d.id)::int as doses
from dose d
join dose_verdict w on w.dose_id = d.id
join child c on c.id = d.child_id
join village v on v.id = c.village_id
where v.district_id = $1::uuid
  and d.voided_at is null
  and d.given_on >= $2::date
  and not w.is_valid
  and w.reason is not null
group by v.id, v.name, w.reason
order by v.name, w.reason
