-- Counts every sum anew from the facts and puts right what differs; answers how many sums that were.
-- To be run under lock-coverage and after plan-for-recount, in the same transaction.
-- Served by one pass over counted_fact, and by counted_fact_valid_later_idx for doses that were repeated until valid.
with at_once as (
  select
    cell,
    count(*) as crude,
    count(*) filter (where valid_on = crude_on) as valid,
    count(*) filter (where valid_on = crude_on and is_timely) as timely
  from counted_fact
  group by cell
),
later as (
  select later_cell as cell, count(*) as valid, count(*) filter (where is_timely) as timely
  from counted_fact
  where later_cell is not null
  group by later_cell
),
wrong as materialized (
  select
    s.id,
    coalesce(a.crude, 0)::int as crude,
    (coalesce(a.valid, 0) + coalesce(l.valid, 0))::int as valid,
    (coalesce(a.timely, 0) + coalesce(l.timely, 0))::int as timely
  from coverage_cell s
  left join at_once a on a.cell = s.id
  left join later l on l.cell = s.id
  where s.crude <> coalesce(a.crude, 0)
    or s.valid <> coalesce(a.valid, 0) + coalesce(l.valid, 0)
    or s.timely <> coalesce(a.timely, 0) + coalesce(l.timely, 0)
),
mended as (
  update coverage_cell s
  set crude = w.crude, valid = w.valid, timely = w.timely
  from wrong w
  where w.id = s.id
  returning 1
)
select count(*)::int as mended
from mended
