-- Texts about children by village since an instant: what they took and what became of them. A text about children of
-- two villages counts in both. $1 district (uuid); $2 since (timestamptz). Served by reminder_of_text_idx.
with sent as (
  select distinct c.village_id, o.id, o.parts, o.status
  from text_out o
  join reminder r on r.text_out_id = o.id
  join child c on c.id = r.child_id
  where o.district_id = $1::uuid and o.created_at >= $2::timestamptz
)
select
  v.id::text as village_id,
  v.name as village,
  count(s.id)::int as texts,
  coalesce(sum(s.parts), 0)::int as parts,
  (count(*) filter (where s.status = 'delivered'))::int as delivered,
  (count(*) filter (where s.status in ('undelivered', 'failed', 'lapsed')))::int as lost
from village v
left join sent s on s.village_id = v.id
where v.district_id = $1::uuid
group by v.id, v.name
order by v.name
