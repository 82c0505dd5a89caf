-- Children who may be those of a register: of the same card in any district, or of the same village born the same day.
-- Held until the transaction ends. $1 card numbers (text[]); $2 json array of {villageId, birthOn}.
-- Served by child_card_number_is_unique and child_of_village_idx.
select c.id::text, c.district_id::text, c.village_id::text, c.card_number, c.name, c.birth_on::text, c.status
from child c
where c.id in (
  select o.id from child o where o.card_number = any($1::text[])
  union
  select o.id
  from jsonb_to_recordset($2::jsonb) as g("villageId" uuid, "birthOn" date)
  join child o on o.village_id = g."villageId" and o.birth_on = g."birthOn"
)
order by c.id
for update
