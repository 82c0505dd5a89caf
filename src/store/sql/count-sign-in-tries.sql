-- Codes asked for with a number since an instant that let nobody in, and the tries made with them.
-- $1 forms of the number's digest (text[]); $2 since (timestamptz). Served by sign_in_code_of_number_idx.
select count(*)::int as codes, coalesce(sum(tries), 0)::int as tries
from sign_in_code
where number_digest = any($1::text[]) and created_at > $2::timestamptz and used_at is null
