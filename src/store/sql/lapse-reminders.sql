-- Lets go of reminders that came too late to be of use. $1 now (timestamptz).
-- Served by reminder_due_idx and reminder_queued_idx.
with lapsed as (
  update reminder
  set status = 'lapsed', reason = 'too-late', updated_at = $1::timestamptz
  where status in ('planned', 'queued') and send_at <= $1::timestamptz and useful_until < $1::timestamptz
  returning id
)
select count(*)::int as lapsed from lapsed
