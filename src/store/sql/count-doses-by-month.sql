-- Routine doses of a series by village and month in which they were given, from the maintained sums.
-- $1 district (uuid); $2 village (uuid, or null for all); $3 first and $4 last day a month may begin on (date); $5 series.
-- Served by coverage_cell_by_month_idx.
select
  v.id::text as village_id,
  s.month_on::text,
  s.dose,
  sum(s.crude)::int as crude
from village v
join coverage_cell s on s.village_id = v.id
where v.district_id = $1::uuid
  and ($2::uuid is null or v.id = $2::uuid)
  and s.month_on between $3::date and $4::date
  and s.series = $5
  and s.delivery = 'routine'
group by v.id, s.month_on, s.dose
order by v.id, s.month_on, s.dose
