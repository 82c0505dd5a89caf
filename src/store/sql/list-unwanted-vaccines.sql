-- Vaccines that are not to be offered: the family refused them, or the child may not have them, and nothing of the
-- kind was given since. $1 child (uuid). Served by dose_not_given_of_child_idx and dose_of_child_idx.
select distinct n.vaccine
from dose_not_given n
where n.child_id = $1::uuid
  and n.reason in ('refused', 'contraindicated')
  and n.withdrawn_at is null
  and not exists (
    select from dose d
    where d.child_id = n.child_id
      and d.voided_at is null
      and d.recorded_at > n.created_at
      and (n.vaccine is null or d.vaccine = n.vaccine)
  )
