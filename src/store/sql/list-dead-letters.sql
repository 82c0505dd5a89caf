-- Texts out of a district that failed for good and that nobody has dealt with, newest first.
-- $1 district (uuid); $2 limit. A sign-in code is nobody's to send again. Served by text_out_failed_idx.
select
  o.id::text,
  o.number,
  o.purpose,
  o.status,
  o.reason,
  o.created_at,
  array(
    select distinct r.child_id::text from reminder r where r.text_out_id = o.id order by 1
  ) as child_ids
from text_out o
where o.district_id = $1::uuid
  and o.status in ('failed', 'undelivered', 'unknown')
  and o.closed_at is null
order by o.created_at desc, o.id
limit $2::int
