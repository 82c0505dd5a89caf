-- What the authority says of the yearly targets of a district's villages. $1 district (uuid).
select
  v.id::text as village_id,
  v.name,
  v.population,
  v.births_per_1000::double precision as births_per_1000,
  v.infant_deaths_per_1000_births::double precision as infant_deaths_per_1000_births,
  v.live_births::double precision as live_births,
  v.surviving_infants::double precision as surviving_infants,
  v.series_targets,
  v.target_source,
  v.target_year
from village v
where v.district_id = $1::uuid
order by v.name
