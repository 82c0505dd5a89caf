-- Texts whose lease ran out while they were being sent. $1 now (timestamptz); $2 limit.
-- Served by text_out_sending_idx.
select id::text
from text_out
where status = 'sending' and lease_until < $1::timestamptz
order by lease_until, id
limit $2::int
