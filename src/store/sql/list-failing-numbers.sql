-- Those of some numbers that no text reaches: the last texts to them all failed.
-- $1 numbers, sealed (text[]); $2 how many texts (int). Served by text_out_of_number_idx.
select asked.number
from unnest($1::text[]) as asked (number)
cross join lateral (
  select count(*) as texts, count(*) filter (where latest.status <> 'delivered') as failed
  from (
    select o.status
    from text_out o
    where o.number = asked.number
      and (o.status in ('delivered', 'undelivered') or (o.status = 'failed' and o.reason like 'number:%'))
    order by o.created_at desc
    limit $2::int
  ) latest
) counted
where counted.texts = $2::int and counted.failed = $2::int
