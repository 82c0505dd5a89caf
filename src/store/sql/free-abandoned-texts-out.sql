-- Texts whose sender died go back to waiting; one that was in doubt too often gets an unknown end, as its reminders do.
-- $1 now (timestamptz); $2 most doubts (int). Served by text_out_sending_idx.
with abandoned as (
  select id
  from text_out
  where status = 'sending' and lease_until < $1::timestamptz
  for update skip locked
),
freed as (
  update text_out o
  set
    status = case when o.doubts < $2::int then 'waiting' else 'unknown' end,
    reason = 'sender-died',
    doubts = o.doubts + 1,
    send_at = $1::timestamptz,
    settled_at = case when o.doubts < $2::int then null else $1::timestamptz end,
    lease_until = null
  from abandoned
  where o.id = abandoned.id
  returning o.id, o.status
),
followed as (
  update reminder r
  set status = 'unknown', reason = 'sender-died', updated_at = $1::timestamptz
  from freed
  where r.text_out_id = freed.id and freed.status = 'unknown'
)
select count(*)::int as freed from freed
