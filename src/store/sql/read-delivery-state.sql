-- How delivery stands, of one district or of all. $1 district (uuid or null); $2 now (timestamptz); $3 since (timestamptz),
-- from which lately is counted. Served by reminder_due_idx, text_out_waiting_idx, text_out_sending_idx,
-- text_in_unhandled_idx, text_in_parked_idx and text_out_handed_idx.
with due as (
  select count(*)::int as reminders, min(send_at) as oldest
  from reminder
  where status = 'planned' and send_at <= $2::timestamptz and ($1::uuid is null or district_id = $1::uuid)
),
under_way as (
  select
    (count(*) filter (where status = 'waiting'))::int as waiting,
    (count(*) filter (where status = 'sending'))::int as sending
  from text_out
  where status in ('waiting', 'sending') and ($1::uuid is null or district_id = $1::uuid)
),
arrived as (
  select
    (count(*) filter (where handled_at is null and parked_at is null))::int as unread,
    (count(*) filter (where parked_at is not null and handled_at is null))::int as parked
  from text_in
  where handled_at is null
),
lately as (
  select
    percentile_cont(0.5) within group (order by extract(epoch from o.settled_at - o.handed_at))
      filter (where o.settled_at is not null) as receipt_seconds,
    (count(*) filter (where o.status = 'handed'))::int as without_receipt,
    percentile_cont(0.5) within group (order by extract(epoch from o.handed_at - o.created_at)) as hand_over_seconds
  from text_out o
  where o.handed_at >= $3::timestamptz and ($1::uuid is null or o.district_id = $1::uuid)
)
select
  due.reminders as due,
  due.oldest as oldest_due_at,
  under_way.waiting,
  under_way.sending,
  arrived.unread,
  arrived.parked,
  lately.receipt_seconds::float8,
  lately.without_receipt,
  lately.hand_over_seconds::float8
from due, under_way, arrived, lately
