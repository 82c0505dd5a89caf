-- Locks one child for the rest of the transaction. $1 child id (uuid). Served by the primary key.
select id::text
from child
where id = $1::uuid
for update
