-- What was answered to the same words of the same number, if they changed something that still stands.
-- $1 this text (uuid); $2 number; $3 body; $4 since (timestamptz). Served by text_in_of_number_idx.
select o.body as reply
from text_in t
join text_out o on o.in_reply_to = t.id
where t.from_number = $2::text
  and t.body = $3::text
  and t.id <> $1::uuid
  and t.received_at >= $4::timestamptz
  and t.effect is not null
  and t.undone_at is null
order by t.received_at desc
limit 1
