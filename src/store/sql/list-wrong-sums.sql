-- What to add to the sums that differ from a count of the facts, to make them right. A writer changes facts and sums in
-- one transaction, so a difference stays what it is while others write. To be run after plan-for-recount.
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
difference as (
  select
    s.id,
    (coalesce(a.crude, 0) - s.crude)::int as crude,
    (coalesce(a.valid, 0) + coalesce(l.valid, 0) - s.valid)::int as valid,
    (coalesce(a.timely, 0) + coalesce(l.timely, 0) - s.timely)::int as timely
  from coverage_cell s
  left join at_once a on a.cell = s.id
  left join later l on l.cell = s.id
)
select
  s.id, s.village_id::text, s.birth_year, s.is_in_cohort, s.delivery, s.series, s.dose, s.month_on::text, s.age_band,
  d.crude, d.valid, d.timely
from difference d
join coverage_cell s on s.id = d.id
where (d.crude, d.valid, d.timely) <> (0, 0, 0)
