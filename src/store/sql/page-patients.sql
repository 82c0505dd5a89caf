-- A page of the children that other systems may be told of, with all that is told, in order of identifier.
-- $1 district (uuid, null: all); $2 village or district lived in (uuid, null: all); $3 born from, $4 born before (date);
-- $5 changed from, $6 changed before (timestamptz); $7 after this child (uuid); $8 how many; $9 these only (uuid[]);
-- $10 issuer of a number (text, null: any), $11 the number (text), $12 its sealed forms (text[]); $13 the issuer of our
-- own cards (text).
-- Everything null is left open. Served by the primary keys of child and child_number, child_card_number_is_unique,
-- child_by_update_idx and child_of_district_by_birth_idx.
select
  c.id::text, c.district_id::text, d.name as district_name, v.id::text as village_id, v.name as village_name,
  c.card_number, c.name, c.sex, c.birth_on::text, c.is_birth_estimated, c.birth_order, c.status, c.status_on::text, c.updated_at,
  coalesce((
    select jsonb_agg(jsonb_build_object('number', l.number, 'language', l.language, 'relation', g.relation)
      order by g.since, g.id)
    from caregiver g join phone_line l on l.id = g.line_id
    where g.child_id = c.id and g.until is null
  ), '[]') as lines,
  coalesce((
    select jsonb_agg(jsonb_build_object('issuer', n.issuer, 'number', n.number) order by n.issuer, n.number)
    from child_number n
    where n.child_id = c.id
  ), '[]') as numbers
from child c
join village v on v.id = c.village_id
join district d on d.id = c.district_id
where may_share(c)
  and ($1::uuid is null or c.district_id = $1::uuid)
  and ($2::uuid is null or c.village_id = $2::uuid or c.district_id = $2::uuid)
  and ($3::date is null or c.birth_on >= $3::date)
  and ($4::date is null or c.birth_on < $4::date)
  and ($5::timestamptz is null or c.updated_at >= $5::timestamptz)
  and ($6::timestamptz is null or c.updated_at < $6::timestamptz)
  and ($7::uuid is null or c.id > $7::uuid)
  and ($9::uuid[] is null or c.id = any($9::uuid[]))
  and ($11::text is null or c.id in (
    select o.id from child o where o.card_number = $11::text and coalesce($10::text, $13::text) = $13::text
    union
    select n.child_id from child_number n where n.number = any($12::text[]) and ($10::text is null or n.issuer = $10::text)
  ))
order by c.id
limit $8::int
