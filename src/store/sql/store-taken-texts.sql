-- Stores texts as being sent, and that their reminders leave with them.
-- $1 texts (jsonb: id, district_id, number and body sealed, number_start, parts, useful_until, lease_until, reminder_ids); $2 now (timestamptz).
with taken as (
  select *
  from jsonb_to_recordset($1::jsonb) as text (
    id uuid, district_id uuid, number text, number_start text, body text, parts int,
    useful_until timestamptz, lease_until timestamptz, reminder_ids uuid[]
  )
),
stored as (
  insert into text_out (
    id, district_id, number, number_start, body, purpose, is_urgent, parts, status, tries, created_at, send_at, useful_until, lease_until
  )
  select id, district_id, number, number_start, body, 'reminder', false, parts, 'sending', 1,
    $2::timestamptz, $2::timestamptz, useful_until, lease_until
  from taken
)
update reminder r
set status = 'queued', text_out_id = taken.id, updated_at = $2::timestamptz
from taken
where r.id = any (taken.reminder_ids)
