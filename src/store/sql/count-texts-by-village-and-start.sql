-- Texts between two instants by village and start of the number; those about no child of a village stand apart. A text
-- about children of two villages counts in the first. $1 district (uuid); $2 from; $3 until (timestamptz).
-- Served by text_out_of_district_idx and reminder_of_text_idx.
with sent as (
  select
    o.parts,
    o.status,
    coalesce(o.number_start, '') as number_start,
    (
      select min(v.name)
      from reminder r join child c on c.id = r.child_id join village v on v.id = c.village_id
      where r.text_out_id = o.id
    ) as village
  from text_out o
  where o.district_id = $1::uuid
    and o.created_at >= $2::timestamptz
    and o.created_at < $3::timestamptz
    and o.status not in ('failed', 'lapsed')
)
select
  village,
  number_start,
  count(*)::int as texts,
  sum(parts)::int as parts,
  (count(*) filter (where status = 'delivered'))::int as delivered
from sent
group by village, number_start
order by village nulls last, number_start
