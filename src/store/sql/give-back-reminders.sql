-- Nothing of these texts left: they are gone, and their reminders are planned again unless withdrawn meanwhile.
-- $1 text ids (text[]); $2 when to send, as ISO text (text[]); $3 reasons (text[]); $4 now (timestamptz).
with given as (
  select id::uuid, send_at::timestamptz, reason
  from unnest($1::text[], $2::text[], $3::text[]) as back (id, send_at, reason)
),
freed as (
  update reminder r
  set
    status = case when r.status = 'queued' then 'planned' else r.status end,
    send_at = case when r.status = 'queued' then given.send_at else r.send_at end,
    reason = case when r.status = 'queued' then given.reason else r.reason end,
    text_out_id = null,
    updated_at = $4::timestamptz
  from given
  where r.text_out_id = given.id
)
delete from text_out o
using given
where o.id = given.id
