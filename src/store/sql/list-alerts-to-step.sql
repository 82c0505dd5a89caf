-- Alerts whose next step is due. $1 now (timestamptz); $2 limit. Served by alert_due_idx.
select id::text
from alert
where next_step_at <= $1::timestamptz and closed_at is null
order by next_step_at
limit $2::int
