-- Ends a login that reads the views of the schema reporting; answers whether there was one.
-- $1 name (text). Locks nothing of ours.
select reporting.end_login($1::text) as ended
