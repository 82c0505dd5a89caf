-- Reminders that were due by the moment of a restore: they may have left after the backup was taken. $1 now.
-- Served by reminder_due_idx.
with settled as (
  update reminder
  set status = 'unknown', reason = 'restored', updated_at = $1::timestamptz
  where status in ('planned', 'queued') and send_at <= $1::timestamptz
  returning id
)
select count(*)::int as settled from settled
