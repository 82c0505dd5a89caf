-- Children born in a period and their first dose of a vaccine. $1 district (uuid); $2 first and $3 last day of birth
-- (date); $4 vaccine (text). Served by child_of_district_by_birth_idx and dose_of_child_idx.
select c.birth_on::text, c.birth_minute, birth_dose.given_on::text, birth_dose.given_minute, birth_dose.sent_at
from child c
left join lateral (
  select d.given_on, d.given_minute, d.sent_at
  from dose d
  where d.child_id = c.id and d.vaccine = $4::text and d.voided_at is null
  order by d.given_on
  limit 1
) birth_dose on true
where c.district_id = $1::uuid and c.birth_on between $2::date and $3::date
  and c.status not in ('duplicate', 'entered-in-error')
