-- Notes that answering a text failed, and puts it aside after so many tries. $1 text id (uuid); $2 trouble (text);
-- $3 now (timestamptz); $4 most tries (int). A PIN is not kept with a text that waits for a person.
update text_in
set
  tries = tries + 1,
  tried_at = $3::timestamptz,
  trouble = $2::text,
  parked_at = case when tries + 1 >= $4::int then $3::timestamptz end,
  pin = case when tries + 1 < $4::int then pin end
where id = $1::uuid and handled_at is null and parked_at is null
returning tries, parked_at is not null as is_parked
