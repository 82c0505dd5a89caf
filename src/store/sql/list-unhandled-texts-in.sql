-- Texts nobody has handled; one whose answering failed is tried again after a pause that doubles, an hour at most.
-- $1 received before (timestamptz); $2 now (timestamptz); $3 limit. Served by text_in_unhandled_idx.
select id::text
from text_in
where handled_at is null
  and parked_at is null
  and received_at < $1::timestamptz
  and (tried_at is null or tried_at < $2::timestamptz - least(2 ^ tries, 3600) * interval '1 second')
order by received_at, id
limit $3::int
