-- Counts every sum anew from the facts and puts right what differs; answers how many sums that were.
-- To be run under lock-coverage-sums, in the same transaction.
with day as (
  select
    c.village_id, c.birth_on, c.sex, c.is_in_cohort, f.series, f.dose, f.delivery,
    f.crude_on as on_day,
    1 as crude,
    (f.valid_on is not distinct from f.crude_on)::int as valid,
    (f.valid_on is not distinct from f.crude_on and f.is_timely)::int as timely
  from counted_fact f
  join counted_child c on c.child_id = f.child_id
  union all
  select
    c.village_id, c.birth_on, c.sex, c.is_in_cohort, f.series, f.dose, f.delivery,
    f.valid_on, 0, 1, f.is_timely::int
  from counted_fact f
  join counted_child c on c.child_id = f.child_id
  where f.valid_on <> f.crude_on
),
recount as (
  select
    village_id, 'cohort' as grain, date_trunc('year', birth_on)::date as begins_on, series, dose, delivery,
    age_band(birth_on, on_day) as age_band, sex,
    sum(crude)::int as crude, sum(valid)::int as valid, sum(timely)::int as timely
  from day
  where is_in_cohort
  group by 1, 2, 3, 4, 5, 6, 7, 8
  union all
  select
    village_id, 'period', date_trunc('month', on_day)::date, series, dose, delivery,
    age_band(birth_on, on_day), 'any',
    sum(crude)::int, sum(valid)::int, sum(timely)::int
  from day
  group by 1, 2, 3, 4, 5, 6, 7, 8
),
stray as (
  delete from coverage_sum s
  where not exists (
    select from recount r
    where (r.village_id, r.grain, r.begins_on, r.series, r.dose, r.delivery, r.age_band, r.sex)
      = (s.village_id, s.grain, s.begins_on, s.series, s.dose, s.delivery, s.age_band, s.sex)
  )
  returning (s.crude, s.valid, s.timely) <> (0, 0, 0) as was_wrong
),
mended as (
  insert into coverage_sum as s (
    village_id, grain, begins_on, series, dose, delivery, age_band, sex, crude, valid, timely
  )
  select village_id, grain, begins_on, series, dose, delivery, age_band, sex, crude, valid, timely
  from recount
  on conflict (village_id, grain, begins_on, series, dose, delivery, age_band, sex) do update
    set crude = excluded.crude, valid = excluded.valid, timely = excluded.timely
    where (s.crude, s.valid, s.timely) <> (excluded.crude, excluded.valid, excluded.timely)
  returning 1
)
select ((select count(*) from stray where was_wrong) + (select count(*) from mended))::int as mended
