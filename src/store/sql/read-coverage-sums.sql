-- Routine doses by village, from the maintained sums.
-- $1 district (uuid); $2 birth year (integer, or null for any); $3 first and $4 last month (date, or null for any);
-- $5 age bands (text[]); $6 whether children who died or left count too (boolean).
-- Served by coverage_cell_is_one for a birth year and by coverage_cell_by_month_idx for months, once for each village.
select
  v.id::text as village_id,
  s.series,
  s.dose,
  sum(s.crude)::int as crude,
  sum(s.valid)::int as valid,
  sum(s.timely)::int as timely
from village v
join coverage_cell s on s.village_id = v.id
where v.district_id = $1::uuid
  and ($2::int is null or s.birth_year = $2::int)
  and ($3::date is null or s.month_on between $3::date and $4::date)
  and s.age_band = any($5::text[])
  and ($6::boolean or s.is_in_cohort)
  and s.delivery = 'routine'
group by v.id, s.series, s.dose
