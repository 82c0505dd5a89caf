-- Takes reminders that are due soon and tells which bundles they form.
-- $1 due until (timestamptz); $2 now (timestamptz); $3 limit. Locks what it takes, skips what others hold.
-- Served by reminder_due_idx.
with due as (
  select id
  from reminder
  where status = 'planned' and send_at <= $1::timestamptz
  order by send_at, id
  limit $3::int
  for update skip locked
),
queued as (
  update reminder r
  set status = 'queued', updated_at = $2::timestamptz
  from due
  where r.id = due.id
  returning r.line_id, r.kind, r.about_on, r.send_at
)
select line_id::text, kind, about_on::text, min(send_at) as send_at
from queued
group by line_id, kind, about_on
order by send_at, line_id, kind
