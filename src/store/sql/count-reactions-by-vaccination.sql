-- Reactions by the day of the vaccination before them (WHO indicator I44), by vaccine and weight.
-- $1 district (uuid); $2 first day; $3 last day (date) of the vaccination.
select d.vaccine, r.is_serious, count(distinct r.id)::int as reports
from reaction r
join dose d on d.id = any (r.dose_ids)
where r.district_id = $1::uuid and r.voided_at is null and d.given_on between $2::date and $3::date
group by d.vaccine, r.is_serious
order by d.vaccine, r.is_serious desc
