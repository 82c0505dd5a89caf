-- Takes pairs of doses off the list of which one was withdrawn since, however that came about.
-- $1 district (uuid); $2 now (timestamptz). Locks the rows it closes.
-- Served by review_item_dose_twice_waits_once.
update review_item r
set closed_at = $2::timestamptz, closed_by = 'duebell', outcome = 'no-longer'
where r.district_id = $1::uuid
  and r.kind = 'dose-twice'
  and r.closed_at is null
  and exists (select from dose d where d.id in (r.dose_id, r.other_dose_id) and d.voided_at is not null)
returning r.id::text
