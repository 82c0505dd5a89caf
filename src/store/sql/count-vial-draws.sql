-- How many doses of each vaccine stand on record as drawn from some vials.
-- $1 vials (uuid[]). Served by dose_of_vial_idx.
select vial_id::text, vaccine, count(*)::int as doses
from dose
where vial_id = any ($1::uuid[]) and voided_at is null
group by vial_id, vaccine
