-- Empties texts that came in: their words, a PIN, what marks a second delivery (it may be a digest of the words), and what
-- could be taken back. $1 texts (uuid[]); $2 no words, sealed (text); $3 now (timestamptz); $4 nobody's number, sealed, or
-- null where the number stays (text). Served by the primary key.
update text_in
set body = $2::text,
  pin = null,
  key = 'erased-' || id::text,
  effect = null,
  handled_at = coalesce(handled_at, $3::timestamptz),
  from_number = coalesce($4::text, from_number),
  emptied_at = $3::timestamptz
where id = any($1::uuid[])
returning id::text
