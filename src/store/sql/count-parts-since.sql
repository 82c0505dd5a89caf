-- Parts that left, or are about to, since an instant. $1 district (uuid); $2 since (timestamptz).
-- Served by text_out_of_district_idx.
select coalesce(sum(parts), 0)::int as parts
from text_out
where district_id = $1::uuid and created_at >= $2::timestamptz and status not in ('failed', 'lapsed')
