-- How many children share birth month and sex with each of these, in its village and in its district; each counts
-- itself. $1 children (uuid[]). Served by child_of_village_idx and child_of_district_by_birth_idx.
select
  c.id::text,
  (
    select count(*)::int from child o
    where o.village_id = c.village_id and o.sex is not distinct from c.sex
      and o.birth_on >= date_trunc('month', c.birth_on)::date
      and o.birth_on < (date_trunc('month', c.birth_on) + interval '1 month')::date
  ) as in_village,
  (
    select count(*)::int from child o
    where o.district_id = c.district_id and o.sex is not distinct from c.sex
      and o.birth_on >= date_trunc('month', c.birth_on)::date
      and o.birth_on < (date_trunc('month', c.birth_on) + interval '1 month')::date
  ) as in_district
from child c
where c.id = any($1::uuid[])
