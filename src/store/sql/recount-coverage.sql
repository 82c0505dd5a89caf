-- Counts every sum anew from the facts and puts right what differs; answers how many sums that were.
-- To be run under lock-coverage, in the same transaction.
with part as (
  select
    crude_cell as cell,
    count(*) as crude,
    count(*) filter (where valid_cell = crude_cell) as valid,
    count(*) filter (where valid_cell = crude_cell and is_timely) as timely
  from counted_fact
  group by crude_cell
  union all
  select valid_cell, 0, count(*), count(*) filter (where is_timely)
  from counted_fact
  where valid_cell <> crude_cell
  group by valid_cell
),
recount as (
  select
    s.id,
    coalesce(sum(p.crude), 0)::int as crude,
    coalesce(sum(p.valid), 0)::int as valid,
    coalesce(sum(p.timely), 0)::int as timely
  from coverage_cell s
  left join part p on p.cell = s.id
  group by s.id
),
mended as (
  update coverage_cell s
  set crude = r.crude, valid = r.valid, timely = r.timely
  from recount r
  where r.id = s.id
    and (s.crude, s.valid, s.timely) <> (r.crude, r.valid, r.timely)
  returning 1
)
select count(*)::int as mended
from mended
