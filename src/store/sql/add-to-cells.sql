-- Adds whole numbers to the sums and answers the cells, which are made where they are not there yet. Rows in the order
-- given, so that transactions do not wait in a ring.
-- $1 json array of {village, birthYear, isInCohort, delivery, series, dose, monthOn, ageBand, crude, valid, timely}.
-- Served by coverage_cell_is_one.
insert into coverage_cell as s (
  village_id, birth_year, is_in_cohort, delivery, series, dose, month_on, age_band, crude, valid, timely
)
select
  village, "birthYear", "isInCohort", delivery, series, dose, "monthOn", "ageBand", crude, valid, timely
from rows from (
  jsonb_to_recordset($1::jsonb) as (
    village uuid, "birthYear" integer, "isInCohort" boolean, delivery text, series text, dose integer,
    "monthOn" date, "ageBand" text, crude integer, valid integer, timely integer
  )
) with ordinality as c(
  village, "birthYear", "isInCohort", delivery, series, dose, "monthOn", "ageBand", crude, valid, timely, place
)
order by place
on conflict (village_id, birth_year, month_on, series, dose, age_band, delivery, is_in_cohort) do update
  set crude = s.crude + excluded.crude,
      valid = s.valid + excluded.valid,
      timely = s.timely + excluded.timely
returning
  s.id, s.village_id::text, s.birth_year, s.is_in_cohort, s.delivery, s.series, s.dose, s.month_on::text, s.age_band
