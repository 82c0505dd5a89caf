-- Why doses were not given, by village and reason. $1 district (uuid); $2 first and $3 last day noted (date).
select v.id::text as village_id, v.name as village, n.reason, count(*)::int as times
from dose_not_given n
join child c on c.id = n.child_id
join village v on v.id = c.village_id
where v.district_id = $1::uuid and n.withdrawn_at is null and n.noted_on between $2::date and $3::date
group by v.id, v.name, n.reason
order by v.name, times desc, n.reason
