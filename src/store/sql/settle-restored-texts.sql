-- Texts that were due by the moment of a restore: they may have left after the backup was taken. $1 now.
-- Served by text_out_waiting_idx and text_out_sending_idx.
with settled as (
  update text_out
  set status = 'unknown', reason = 'restored', settled_at = $1::timestamptz, lease_until = null
  where status in ('waiting', 'sending') and send_at <= $1::timestamptz
  returning id
)
select count(*)::int as settled from settled
