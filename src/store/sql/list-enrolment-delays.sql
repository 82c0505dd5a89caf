-- Days from birth to enrolment of the children born in a period, by the village where they live; registers taken over
-- are left out. $1 district (uuid); $2 first and $3 last day of birth (date). Served by child_of_district_by_birth_idx.
select v.name as village, c.enrolled_on - c.birth_on as days
from child c
join village v on v.id = c.village_id
where c.district_id = $1::uuid and c.birth_on between $2::date and $3::date
  and c.enrolled_via <> 'import' and c.status not in ('duplicate', 'entered-in-error')
