-- Makes what is counted of some children equal to what is given; rows that are equal already stay untouched.
-- $1 json array of {childId, villageId, sex, birthOn, isInCohort, facts: [{series, dose, delivery, crudeOn,
-- validOn, isTimely, cell, laterCell}]}.
with given as (
  select *
  from jsonb_to_recordset($1::jsonb) as g(
    "childId" uuid, "villageId" uuid, sex text, "birthOn" date, "isInCohort" boolean, facts jsonb
  )
),
wanted as (
  select given."childId" as child_id, f.*
  from given
  cross join lateral jsonb_to_recordset(given.facts) as f(
    series text, dose integer, delivery text, "crudeOn" date, "validOn" date, "isTimely" boolean,
    cell integer, "laterCell" integer
  )
),
children as (
  insert into counted_child as c (child_id, village_id, sex, birth_on, is_in_cohort)
  select "childId", "villageId", sex, "birthOn", "isInCohort"
  from given
  on conflict (child_id) do update
    set village_id = excluded.village_id,
        sex = excluded.sex,
        birth_on = excluded.birth_on,
        is_in_cohort = excluded.is_in_cohort
    where (c.village_id, c.sex, c.birth_on, c.is_in_cohort)
      is distinct from (excluded.village_id, excluded.sex, excluded.birth_on, excluded.is_in_cohort)
),
removed as (
  delete from counted_fact f
  using given g
  where f.child_id = g."childId"
    and not exists (
      select from wanted w
      where (w.child_id, w.series, w.dose, w.delivery) = (f.child_id, f.series, f.dose, f.delivery)
    )
)
insert into counted_fact as f (
  child_id, series, dose, delivery, crude_on, valid_on, is_timely, cell, later_cell
)
select child_id, series, dose, delivery, "crudeOn", "validOn", "isTimely", cell, "laterCell"
from wanted
on conflict (child_id, series, dose, delivery) do update
  set crude_on = excluded.crude_on,
      valid_on = excluded.valid_on,
      is_timely = excluded.is_timely,
      cell = excluded.cell,
      later_cell = excluded.later_cell
  where (f.crude_on, f.valid_on, f.is_timely, f.cell, f.later_cell)
    is distinct from
      (excluded.crude_on, excluded.valid_on, excluded.is_timely, excluded.cell, excluded.later_cell)
