-- Reports since an instant as clusters see them: one row for each vial of the doses before it, or one without.
-- $1 district (uuid); $2 since (timestamptz). Served by reaction_of_district_idx.
select
  r.id::text,
  v.number::text as vial,
  v.lot,
  r.post_id::text as post,
  r.reaction_on::text,
  r.signs,
  r.is_serious
from reaction r
left join dose d on d.id = any (r.dose_ids) and d.vial_id is not null
left join vial v on v.id = d.vial_id
where r.district_id = $1::uuid and r.reported_at >= $2::timestamptz and r.voided_at is null
order by r.id
