-- The oldest search after an erasure that nobody else has under way, held for the rest of the transaction. A handful of
-- rows at most.
select id::text from erasure_search order by asked_at, id limit 1 for update skip locked
