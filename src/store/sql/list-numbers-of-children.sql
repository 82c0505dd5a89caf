-- The numbers that receive texts about some children, the first joined first. $1 children (uuid[]).
-- Served by caregiver_is_current_once.
select g.child_id::text, l.number
from caregiver g
join phone_line l on l.id = g.line_id
where g.child_id = any($1::uuid[]) and g.until is null
order by g.child_id, g.since, g.id
