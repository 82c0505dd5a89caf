-- Followed children of a district born in a range of days, with when they had a numbered dose, if they had it.
-- $1 district (uuid); $2 village (uuid, or null for all); $3 first and $4 last birth date (date); $5 series; $6 dose;
-- $7 true for those who had it, false for those who did not, null for both; $8 most rows.
-- Served by child_of_district_by_birth_idx and the primary key of counted_fact.
select
  c.id::text as child_id,
  c.card_number,
  c.name,
  c.birth_on::text,
  v.id::text as village_id,
  v.name as village,
  f.crude_on::text,
  f.valid_on::text
from child c
join village v on v.id = c.village_id
left join counted_fact f
  on f.child_id = c.id and f.series = $5 and f.dose = $6::int and f.delivery = 'routine'
where c.district_id = $1::uuid
  and ($2::uuid is null or c.village_id = $2::uuid)
  and c.birth_on between $3::date and $4::date
  and c.status = 'active'
  and ($7::boolean is null or (f.child_id is not null) = $7::boolean)
order by v.name, c.birth_on, c.id
limit $8::int
