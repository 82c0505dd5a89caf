-- Holds one unhandled text that came in. $1 text id (uuid). Locks the row; skips it when another worker has it.
select id::text
from text_in
where id = $1::uuid and handled_at is null and parked_at is null
for update skip locked
