-- Followed children of a district who had a dose, with when they had it and when another one.
-- $1 district (uuid); $2 birth year (integer, or null for any); $3 first and $4 last day on which they had the first dose
-- (date, or null for any); $5 series and $6 number of the first dose; $7 series and $8 number of the later one.
-- Served by counted_child_of_village_idx and the primary key of counted_fact.
select
  c.village_id::text,
  c.birth_on::text,
  f.crude_on::text as first_on,
  l.crude_on::text as later_on
from village v
join counted_child c on c.village_id = v.id
join counted_fact f
  on f.child_id = c.child_id and f.series = $5 and f.dose = $6::int and f.delivery = 'routine'
left join counted_fact l
  on l.child_id = c.child_id and l.series = $7 and l.dose = $8::int and l.delivery = 'routine'
where v.district_id = $1::uuid
  and c.is_in_cohort
  and ($2::int is null or extract(year from c.birth_on) = $2::int)
  and ($3::date is null or f.crude_on between $3::date and $4::date)
