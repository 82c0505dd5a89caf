-- Routine doses by village, from the maintained sums.
-- $1 district (uuid); $2 grain ('cohort' or 'period'); $3 first and $4 last day a cell may begin on (date); $5 age bands (text[]).
-- Served by the primary key of coverage_sum, once for each village.
select
  v.id::text as village_id,
  s.series,
  s.dose,
  sum(s.crude)::int as crude,
  sum(s.valid)::int as valid,
  sum(s.timely)::int as timely
from village v
join coverage_sum s on s.village_id = v.id
where v.district_id = $1::uuid
  and s.grain = $2
  and s.begins_on between $3::date and $4::date
  and s.age_band = any($5::text[])
  and s.delivery = 'routine'
group by v.id, s.series, s.dose
