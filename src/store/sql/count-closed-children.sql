-- Children no longer followed, by status and the reason that was noted. $1 district (uuid).
select c.status, c.status_reason as reason, count(*)::int as children
from child c
where c.district_id = $1::uuid and c.status <> 'active'
group by c.status, c.status_reason
order by c.status, children desc, reason
