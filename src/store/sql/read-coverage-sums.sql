-- Routine doses by village, from the maintained sums: of a birth cohort, or given in a period of whole months.
-- $1 district (uuid); $2 birth year (integer, or null for any); $3 first and $4 last day of the period (date, or null);
-- $5 age bands (text[]). A period counts doses of children who died or left since; a cohort does not.
-- Served by coverage_cell_to_read_idx alone, once for each village.
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
  and ($3::date is not null or s.is_in_cohort)
  and s.age_band = any($5::text[])
  and s.delivery = 'routine'
group by v.id, s.series, s.dose
