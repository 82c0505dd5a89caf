-- The children that some identifiers and cards are those of. $1 identifiers (uuid[]); $2 cards (text[]). Served by the primary
-- key and child_card_number_is_unique.
select id::text from child where id = any($1::uuid[])
union
select id::text from child where card_number = any($2::text[]) and erased_at is null
