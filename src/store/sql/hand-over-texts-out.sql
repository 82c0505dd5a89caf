-- The gateway took texts over: it is kept which ids its receipts will speak of.
-- $1 texts (jsonb: id, provider_ids); $2 gateway (text); $3 now (timestamptz).
-- A network counts its ids round and round: from now on each means the new text.
with taken as (
  select id, provider_ids from jsonb_to_recordset($1::jsonb) as text (id uuid, provider_ids text[])
),
part as (
  insert into text_part (gateway, provider_id, text_out_id, created_at)
  select distinct on (provider_id) $2::text, provider_id, taken.id, $3::timestamptz
  from taken cross join unnest(taken.provider_ids) as provider_id
  order by provider_id, taken.id desc
  on conflict (gateway, provider_id) do update
  set text_out_id = excluded.text_out_id, state = null, created_at = excluded.created_at
  where text_part.text_out_id <> excluded.text_out_id
),
handed as (
  update text_out o
  set status = 'handed', reason = null, gateway = $2::text, handed_at = $3::timestamptz, lease_until = null
  from taken
  where o.id = taken.id
)
update reminder r
set status = 'handed', reason = null, updated_at = $3::timestamptz
from taken
where r.text_out_id = taken.id
