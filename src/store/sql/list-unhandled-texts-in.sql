-- Texts nobody has handled. $1 received before (timestamptz); $2 limit. Served by text_in_unhandled_idx.
select id::text
from text_in
where handled_at is null and received_at < $1::timestamptz
order by received_at, id
limit $2::int
