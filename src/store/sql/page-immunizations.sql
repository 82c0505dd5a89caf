-- A page of the doses of children that other systems may be told of, with all that is told, in order of identifier;
-- withdrawn ones too.
-- $1 district (uuid, null: all); $2 child (uuid); $3 post, village or district of the child (uuid); $4 given from,
-- $5 given before (date); $6 changed from, $7 changed before (timestamptz); $8 after this dose (uuid); $9 how many;
-- $10 these only (uuid[]); $11 issuer (text), $12 sealed forms of the number (text[]) by which another register knows it; $13 vaccine (text[]);
-- $14 true: withdrawn ones only, false: without them (boolean).
-- Everything null is left open. Served by the primary key, dose_of_child_idx and dose_by_update_idx.
select
  o.id::text, o.child_id::text, o.vaccine, o.given_on::text, o.given_minute, t.time_zone, o.post_id::text, p.name as post_name, o.delivery,
  o.is_elsewhere, o.recorded_at, o.void_reason, o.updated_at,
  coalesce((
    select jsonb_agg(jsonb_build_object('issuer', s.issuer, 'number', s.number) order by s.issuer, s.number)
    from stated_dose s
    where s.child_id = o.child_id and s.vaccine = o.vaccine and s.given_on = o.given_on
      and s.is_withdrawn = (o.voided_at is not null)
  ), '[]') as numbers,
  coalesce((
    select jsonb_agg(jsonb_build_object('series', r.series, 'dose', r.number) order by r.series)
    from dose_verdict r
    where r.dose_id = o.id and r.is_valid and r.number is not null and o.voided_at is null
  ), '[]') as counts
from dose o
join child c on c.id = o.child_id
join district t on t.id = c.district_id
left join health_post p on p.id = o.post_id
where may_share(c)
  and ($1::uuid is null or c.district_id = $1::uuid)
  and ($2::uuid is null or o.child_id = $2::uuid)
  and ($3::uuid is null or o.post_id = $3::uuid or c.village_id = $3::uuid or c.district_id = $3::uuid)
  and ($4::date is null or o.given_on >= $4::date)
  and ($5::date is null or o.given_on < $5::date)
  and ($6::timestamptz is null or o.updated_at >= $6::timestamptz)
  and ($7::timestamptz is null or o.updated_at < $7::timestamptz)
  and ($8::uuid is null or o.id > $8::uuid)
  and ($10::uuid[] is null or o.id = any($10::uuid[]))
  and ($12::text[] is null or exists (
    select from stated_dose s
    where s.number = any($12::text[]) and ($11::text is null or s.issuer = $11::text)
      and s.child_id = o.child_id and s.vaccine = o.vaccine and s.given_on = o.given_on
  ))
  and ($13::text[] is null or o.vaccine = any($13::text[]))
  and ($14::boolean is null or $14::boolean = (o.voided_at is not null))
order by o.id
limit $9::int
