-- A page of reactions with all that is told of them to other systems, in order of identifier; slips are left out.
-- $1 district (uuid, null: all); $2 child (uuid); $3 post, village or district of the child (uuid); $4 began from,
-- $5 began before (date); $6 changed from, $7 changed before (timestamptz); $8 after this one (uuid); $9 how many;
-- $10 these only (uuid[]). Everything null is left open. Served by the primary key and reaction_by_update_idx.
select
  r.id::text, r.child_id::text, r.reaction_on::text, r.reported_at, r.post_id::text, r.words, r.signs, r.outcomes,
  r.is_serious, r.dose_ids::text[], r.updated_at
from reaction r
join child c on c.id = r.child_id
where r.voided_at is null and may_share(c)
  and ($1::uuid is null or c.district_id = $1::uuid)
  and ($2::uuid is null or r.child_id = $2::uuid)
  and ($3::uuid is null or r.post_id = $3::uuid or c.village_id = $3::uuid or c.district_id = $3::uuid)
  and ($4::date is null or r.reaction_on >= $4::date)
  and ($5::date is null or r.reaction_on < $5::date)
  and ($6::timestamptz is null or r.updated_at >= $6::timestamptz)
  and ($7::timestamptz is null or r.updated_at < $7::timestamptz)
  and ($8::uuid is null or r.id > $8::uuid)
  and ($10::uuid[] is null or r.id = any($10::uuid[]))
order by r.id
limit $9::int
