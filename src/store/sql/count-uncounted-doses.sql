-- Doses on record that do not count, by village and reason; beside them the doses given there and how many of the
-- uncounted were given for a reason that was written down. $1 district (uuid); $2 given since (date).
with own as (
  select d.id, c.village_id
  from dose d
  join child c on c.id = d.child_id
  where c.district_id = $1::uuid
    and d.voided_at is null
    and d.given_on >= $2::date
),
given as (
  select village_id, count(*)::int as doses from own group by village_id
)
select
  v.id::text as village_id,
  v.name as village,
  w.reason,
  count(distinct own.id)::int as doses,
  count(distinct r.dose_id)::int as explained,
  g.doses as given
from own
join dose_verdict w on w.dose_id = own.id
join given g on g.village_id = own.village_id
join village v on v.id = own.village_id
left join dose_against_advice r on r.dose_id = own.id
where not w.is_valid
  and w.reason is not null
group by v.id, v.name, w.reason, g.doses
order by v.name, w.reason
