-- Takes one of the tries of a code that may still be used. $1 code (uuid); $2 now (timestamptz); $3 most tries.
-- Tries that race take one each: the row is locked by the first.
update sign_in_code
set tries = tries + 1
where id = $1::uuid and used_at is null and expires_at > $2::timestamptz and tries < $3::int
returning person_id::text, number_digest, code_digest
