-- What was answered to the earlier texts of a number, newest first, if they changed something that still stands, or took
-- something back or moved a visit a moment ago. A temperature, a count and a vial of the same lot may be the same
-- words again on one day, so these are a repeat only within that moment.
-- $1 this text (uuid); $2 forms of the number (text[]); $3 since; $4 a moment ago (timestamptz).
-- Served by text_in_of_number_idx.
select t.body, o.body as reply
from text_in t
join text_out o on o.in_reply_to = t.id
where t.from_number = any($2::text[])
  and t.id <> $1::uuid
  and t.received_at >= $3::timestamptz
  and (
    (
      t.effect is not null
      and t.undone_at is null
      and t.act not in ('record-temperature', 'record-stock', 'open-vial')
      and not exists (
        select
        from jsonb_array_elements_text(t.effect -> 'doseIds') as e (dose_id)
        join dose d on d.id = e.dose_id::uuid
        where d.voided_at is not null
      )
    )
    or (
      t.act in ('undo', 'move-later', 'record-temperature', 'record-stock', 'open-vial')
      -- One that was refused for its PIN may be right the next time.
      and t.problem is null
      and t.received_at >= $4::timestamptz
    )
  )
order by t.received_at desc
