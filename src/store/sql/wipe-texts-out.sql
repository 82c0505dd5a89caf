-- Empties texts that go out; one that has not gone goes no more. $1 texts (uuid[]); $2 no words, sealed (text); $3 now
-- (timestamptz). Served by the primary key.
update text_out
set body = $2::text,
  status = case when status in ('waiting', 'sending') then 'lapsed' else status end,
  reason = case when status in ('waiting', 'sending') then 'erased' else reason end,
  settled_at = case when status in ('waiting', 'sending') then $3::timestamptz else settled_at end
where id = any($1::uuid[])
returning id::text
