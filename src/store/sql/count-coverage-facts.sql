-- Routine doses by village given from one day to another, counted from the facts: for periods that are no whole months.
-- $1 district (uuid); $2 first and $3 last day (date); $4 age bands (text[]).
-- Served by counted_child_of_village_idx and the primary key of counted_fact.
with fact as (
  select
    c.village_id,
    f.series,
    f.dose,
    f.is_timely,
    f.crude_on between $2::date and $3::date and age_band(c.birth_on, f.crude_on) = any($4::text[]) as is_crude,
    f.valid_on between $2::date and $3::date and age_band(c.birth_on, f.valid_on) = any($4::text[]) as is_valid
  from village v
  join counted_child c on c.village_id = v.id
  join counted_fact f on f.child_id = c.child_id
  where v.district_id = $1::uuid
    and f.delivery = 'routine'
)
select
  village_id::text,
  series,
  dose,
  (count(*) filter (where is_crude))::int as crude,
  (count(*) filter (where is_valid))::int as valid,
  (count(*) filter (where is_valid and is_timely))::int as timely
from fact
group by village_id, series, dose
