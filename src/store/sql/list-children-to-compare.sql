-- Children whose identifying facts changed since they were compared; held, so that two rounds never take the same.
-- $1 district (uuid); $2 limit. Served by child_to_compare_idx.
select id::text
from child
where district_id = $1::uuid and not is_compared and erased_at is null
order by id
limit $2::int
for update skip locked
