-- Children no longer followed, by status and the reason that was noted. Reasons are sealed, so equal ones come apart
-- here and are added up by the caller. $1 district (uuid).
select c.status, c.status_reason as reason, count(*)::int as children
from child c
where c.district_id = $1::uuid and c.status <> 'active'
group by c.status, c.status_reason
order by c.status
