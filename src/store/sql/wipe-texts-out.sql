-- Empties texts that go out; one that has not gone goes no more, and one that failed waits for nobody. $1 texts (uuid[]);
-- $2 no words, sealed (text); $3 now (timestamptz); $4 nobody's number, sealed, or null where the number stays (text).
-- Served by the primary key.
update text_out
set body = $2::text,
  number = coalesce($4::text, number),
  emptied_at = $3::timestamptz,
  status = case when status in ('waiting', 'sending') then 'lapsed' else status end,
  reason = case when status in ('waiting', 'sending') then 'erased' else reason end,
  settled_at = case when status in ('waiting', 'sending') then $3::timestamptz else settled_at end,
  closed_at = case when status in ('failed', 'undelivered', 'unknown') then coalesce(closed_at, $3::timestamptz) else closed_at end,
  closed_by = case when status in ('failed', 'undelivered', 'unknown') then coalesce(closed_by, 'duebell') else closed_by end
where id = any($1::uuid[])
returning id::text
