-- The same counts dose by dose from the facts, for what the sums do not tell apart: sexes, and periods that break a month.
-- $1 district (uuid); $2 birth year (integer, or null for any); $3 first and $4 last day of the period (date, or null);
-- $5 age bands (text[]); $6 sex ('female', 'male', 'unknown', or null for all).
-- Served by counted_child_of_village_idx and the primary key of counted_fact.
with fact as (
  select
    c.village_id,
    f.series,
    f.dose,
    f.is_timely,
    ($3::date is null or f.crude_on between $3::date and $4::date)
      and age_band(c.birth_on, f.crude_on) = any($5::text[]) as is_crude,
    f.valid_on is not null
      and ($3::date is null or f.valid_on between $3::date and $4::date)
      and age_band(c.birth_on, f.valid_on) = any($5::text[]) as is_valid
  from village v
  join counted_child c on c.village_id = v.id
  join counted_fact f on f.child_id = c.child_id
  where v.district_id = $1::uuid
    and ($2::int is null or extract(year from c.birth_on) = $2::int)
    and ($3::date is not null or c.is_in_cohort)
    and ($6::text is null or c.sex = $6::text)
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
