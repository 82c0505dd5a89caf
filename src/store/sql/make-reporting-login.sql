-- Makes a login that reads the views of the schema reporting, or gives one a new password.
-- $1 name (text); $2 password (text). Locks nothing of ours.
select reporting.make_login($1::text, $2::text)::text as made
