-- Pairs of living doses of one child so close that they may be one dose, for which nobody has been asked: of one
-- vaccine, or of two vaccines that count for one series where two sources told of them.
-- $1 district (uuid); $2 days within which they are one; $3 since when either was recorded (timestamptz); $4 limit.
-- Served by dose_of_child_idx and dose_verdict_pkey.
select d.child_id::text, d.id::text as one_id, o.id::text as other_id
from dose d
join dose o
  on o.child_id = d.child_id
  and o.delivery = d.delivery
  and o.given_on between d.given_on and d.given_on + $2::int
  and (o.given_on, o.id) > (d.given_on, d.id)
  and o.voided_at is null
  and (
    o.vaccine = d.vaccine
    or o.recorded_via <> d.recorded_via
      and exists (
        select from dose_verdict v join dose_verdict w on w.series = v.series where v.dose_id = d.id and w.dose_id = o.id
      )
  )
where d.district_id = $1::uuid
  and d.voided_at is null
  and greatest(d.recorded_at, o.recorded_at) >= $3::timestamptz
  and not exists (
    select from review_item r
    where r.kind = 'dose-twice'
      and r.dose_id in (d.id, o.id)
      and r.other_dose_id in (d.id, o.id)
      and (r.closed_at is null or r.outcome = 'not-double')
  )
order by d.id, o.id
limit $4::int
