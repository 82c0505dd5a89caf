-- The reactions on record of some children, with the vaccines given before each. $1 children (uuid[]).
-- Served by reaction_of_child_idx.
select
  r.child_id::text,
  r.reaction_on::text,
  r.is_serious,
  r.signs,
  coalesce(
    (select array_agg(distinct d.vaccine order by d.vaccine) from dose d where d.id = any (r.dose_ids)),
    '{}'
  ) as vaccines
from reaction r
where r.child_id = any ($1::uuid[]) and r.voided_at is null
order by r.reaction_on, r.id
