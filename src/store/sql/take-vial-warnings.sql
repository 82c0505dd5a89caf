-- Takes a vial's warnings whose time has come, the last of them first: only that one is still worth sending.
-- $1 vial (uuid); $2 now (timestamptz). Whoever takes them holds the rows until the transaction ends.
select kind, send_at
from vial_warning
where vial_id = $1::uuid and status = 'planned' and send_at <= $2::timestamptz
order by send_at desc
for update skip locked
