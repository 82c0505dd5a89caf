-- Joins receipts to the parts they speak of and tells what is now known of each text.
-- $1 gateway (text); $2 provider ids (text[]). Served by receipt_unmatched_idx and the key of text_part.
-- A final word is never replaced by "under-way" or "unknown".
with spoken as (
  update receipt r
  set is_matched = true
  from text_part p
  where not r.is_matched
    and r.gateway = $1::text
    and r.provider_id = any ($2::text[])
    and p.gateway = r.gateway
    and p.provider_id = r.provider_id
  returning r.provider_id, r.state, r.reason, r.received_at, r.id
),
latest as (
  select distinct on (provider_id) provider_id, state, reason
  from spoken
  order by provider_id, state in ('delivered', 'undelivered') desc, received_at desc, id desc
),
learned as (
  update text_part p
  set state = l.state
  from latest l
  where p.gateway = $1::text
    and p.provider_id = l.provider_id
    and (p.state is null or p.state not in ('delivered', 'undelivered') or l.state in ('delivered', 'undelivered'))
  returning p.text_out_id, p.provider_id, p.state, l.reason
)
select
  p.text_out_id::text,
  array_agg(coalesce(l.state, p.state) order by p.provider_id) as states,
  max(l.reason) as reason
from text_part p
left join learned l on l.provider_id = p.provider_id and p.gateway = $1::text
where p.text_out_id in (select text_out_id from learned)
group by p.text_out_id
