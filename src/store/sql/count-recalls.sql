-- Recall texts that left since the child's last visit; one text to two lines is one try.
-- $1 child (uuid); $2 appointment (uuid) and $3 kind (text) of a recall that is left out (nulls: none). Served by reminder_of_child_idx and dose_of_child_idx.
select count(distinct (r.appointment_id, r.kind))::int as recalls
from reminder r
where r.child_id = $1::uuid
  and r.kind in ('missed-1', 'missed-2')
  and (r.appointment_id, r.kind) is distinct from ($2::uuid, $3::text)
  and r.status in ('handed', 'delivered', 'undelivered', 'unknown')
  and r.about_on > coalesce(
    (select max(d.given_on) from dose d where d.child_id = $1::uuid and d.voided_at is null),
    '-infinity'::date
  )
