-- Entries older than a moment that are neither in the chain nor waiting for it: somebody put them there or took their link.
-- $1 before (timestamptz). Reads both tables whole; for the check alone.
select count(*)::int as entries
from change c
where c.happened_at < $1::timestamptz
  and not exists (select from audit_link l where l.change_id = c.id)
  and not exists (select from audit_waiting w where w.change_id = c.id)
