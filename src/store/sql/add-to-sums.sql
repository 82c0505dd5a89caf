-- Adds whole numbers to the sums, rows in the order of their key so that transactions do not wait in a ring.
-- $1 json array of {villageId, grain, beginsOn, series, dose, delivery, ageBand, sex, crude, valid, timely}, each cell once.
insert into coverage_sum as s (
  village_id, grain, begins_on, series, dose, delivery, age_band, sex, crude, valid, timely
)
select
  "villageId", grain, "beginsOn", series, dose, delivery, "ageBand", sex, crude, valid, timely
from jsonb_to_recordset($1::jsonb) as c(
  "villageId" uuid, grain text, "beginsOn" date, series text, dose integer, delivery text,
  "ageBand" text, sex text, crude integer, valid integer, timely integer
)
order by 1, 2, 3, 4, 5, 6, 7, 8
on conflict (village_id, grain, begins_on, series, dose, delivery, age_band, sex) do update
  set crude = s.crude + excluded.crude,
      valid = s.valid + excluded.valid,
      timely = s.timely + excluded.timely
