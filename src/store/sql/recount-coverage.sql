-- Counts every sum anew from the facts and puts right what differs; answers how many sums that were.
-- To be run under lock-coverage and after plan-for-recount, in the same transaction.
-- Served by one pass over counted_fact, and by counted_fact_late_valid_idx for doses that were repeated until valid.
with at_once as (
  select
    crude_cell as cell,
    count(*) as crude,
    count(*) filter (where valid_cell = crude_cell) as valid,
    count(*) filter (where valid_cell = crude_cell and is_timely) as timely
  from counted_fact
  group by crude_cell
),
later as (
  select valid_cell as cell, count(*) as valid, count(*) filter (where is_timely) as timely
  from counted_fact
  where valid_cell <> crude_cell
  group by valid_cell
),
wrong as (
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
