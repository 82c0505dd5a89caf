-- Bundles that were queued long ago and never sent: Redis lost their jobs.
-- $1 queued before (timestamptz); $2 now (timestamptz); $3 limit. Served by reminder_queued_idx.
with stray as (
  select id
  from reminder
  where status = 'queued' and text_out_id is null and updated_at < $1::timestamptz and send_at <= $2::timestamptz
  order by updated_at, id
  limit $3::int
  for update skip locked
),
touched as (
  update reminder r
  set updated_at = $2::timestamptz
  from stray
  where r.id = stray.id
  returning r.line_id, r.kind, r.about_on, r.send_at
)
select line_id::text, kind, about_on::text, min(send_at) as send_at
from touched
group by line_id, kind, about_on
order by send_at, line_id, kind
