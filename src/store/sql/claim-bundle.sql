-- Holds the queued reminders of one line, kind and day, with all that decides whether they still make sense.
-- $1 line (uuid); $2 kind (text); $3 day the text is about (date); $4 now (timestamptz). Served by reminder_bundle_idx.
select
  r.id::text,
  r.district_id::text,
  r.child_id::text,
  c.name as child_name,
  c.status as child_status,
  r.appointment_id::text,
  a.status as appointment_status,
  c.village_id::text,
  p.name as post_name,
  l.number,
  l.language,
  l.stopped_at is not null as is_stopped,
  exists (
    select from caregiver g where g.child_id = r.child_id and g.line_id = r.line_id and g.until is null
  ) as is_current_line,
  exists (
    select from dose d where d.child_id = r.child_id and d.voided_at is null and d.given_on > r.about_on
  ) or exists (
    select from appointment later
    where later.child_id = r.child_id and later.session_on > r.about_on and later.status in ('kept', 'missed')
  ) as has_come_since,
  (select n.session_on::text from appointment n where n.child_id = r.child_id and n.status = 'planned') as next_session_on,
  array(
    select d.vaccine
    from dose d
    where d.child_id = r.child_id and d.voided_at is null and d.given_on = r.about_on
    order by d.vaccine
  ) as vaccines,
  r.useful_until,
  c.plan_again_on::text
from reminder r
join child c on c.id = r.child_id
join phone_line l on l.id = r.line_id
join village v on v.id = c.village_id
join health_post p on p.id = v.post_id
left join appointment a on a.id = r.appointment_id
where r.line_id = $1::uuid and r.kind = $2::text and r.about_on = $3::date
  -- Siblings whose turn on the conveyor is still to come leave in the same text.
  and (r.status = 'queued' or (r.status = 'planned' and r.send_at <= $4::timestamptz))
  and r.text_out_id is null
order by c.birth_on, c.id
for update of r skip locked
