-- How many days reports and enrolments took, of those made since an instant; taken-over registers left out.
-- $1 district (uuid); $2 since (timestamptz).
select 'report' as what, (d.recorded_at at time zone s.time_zone)::date - d.given_on as days
from dose d
join district s on s.id = d.district_id
where d.district_id = $1::uuid and d.voided_at is null and d.recorded_via <> 'import' and d.recorded_at >= $2::timestamptz
union all
select 'enrolment', c.enrolled_on - c.birth_on
from child c
where c.district_id = $1::uuid and c.enrolled_via <> 'import' and c.created_at >= $2::timestamptz
