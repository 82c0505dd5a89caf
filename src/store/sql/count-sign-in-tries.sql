-- Codes asked for with a number since an instant that let nobody in, and the tries made with them.
-- $1 digest of the number; $2 since (timestamptz). Served by sign_in_code_of_number_idx.
select count(*)::int as codes, coalesce(sum(tries), 0)::int as tries
from sign_in_code
where number_digest = $1 and created_at > $2::timestamptz and used_at is null
