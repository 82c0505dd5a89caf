-- Texts whose time has come. $1 now (timestamptz); $2 limit. Served by text_out_waiting_idx.
select id::text, number, is_urgent
from text_out
where status = 'waiting' and send_at <= $1::timestamptz
order by is_urgent desc, send_at, id
limit $2::int
