-- Children for whom something is wanted by now. $1 district (uuid); $2 today (date); $3 limit.
-- Served by child_to_plan_again_idx.
select id::text
from child
where district_id = $1::uuid and status in ('active', 'away') and plan_again_on <= $2::date
order by plan_again_on, id
limit $3::int
