-- Holds names for the rest of the transaction; whoever wants one of them waits until it ends.
-- $1 names (text[]), taken in their order so that two who want several do not wait in a ring.
select pg_advisory_xact_lock(hashtextextended(name, 0))::text as held
from (select distinct unnest($1::text[]) as name order by name) as wanted
