-- Vials with a warning whose time has come. $1 now (timestamptz); $2 limit. Served by vial_warning_due_idx.
select vial_id::text as id
from vial_warning
where status = 'planned' and send_at <= $1::timestamptz
group by vial_id
order by min(send_at)
limit $2::int
