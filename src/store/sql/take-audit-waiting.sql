-- Takes entries that are not in the chain yet, oldest first. $1 most rows (integer).
-- Whoever calls this holds the chain, so no two take the same. Served by the primary key: identifiers grow with time.
delete from audit_waiting
where change_id in (select change_id from audit_waiting order by change_id limit $1::int)
returning change_id::text
