-- The numbers that receive texts about some children, the first joined first. $1 children (uuid[]); $2 preferences
-- (text[]): only numbers that may be written to and chose one of these; null: every number.
-- Served by caregiver_is_current_once.
select g.child_id::text, l.number
from caregiver g
join phone_line l on l.id = g.line_id
where g.child_id = any($1::uuid[]) and g.until is null
  and (
    $2::text[] is null
    or (l.stopped_at is null and l.consent = 'given' and l.preference = any($2::text[]))
  )
order by g.child_id, g.since, g.id
