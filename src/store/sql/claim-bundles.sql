-- Holds the reminders of some bundles that are due, with all that decides whether they still make sense.
-- $1 lines (text[]), $2 kinds (text[]) and $3 days the texts are about (text[]), one of each a bundle;
-- $4 now (timestamptz). Skips what another worker has. Served by reminder_bundle_idx.
select
  r.id::text,
  r.line_id::text,
  r.kind,
  r.about_on::text,
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
  l.preference,
  l.stopped_at is not null or l.consent <> 'given' as is_stopped,
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
from unnest($1::text[], $2::text[], $3::text[]) as wanted (line_id, kind, about_on)
join reminder r
  on r.line_id = wanted.line_id::uuid and r.kind = wanted.kind and r.about_on = wanted.about_on::date
join child c on c.id = r.child_id
join phone_line l on l.id = r.line_id
join village v on v.id = c.village_id
join health_post p on p.id = v.post_id
left join appointment a on a.id = r.appointment_id
-- Siblings whose turn has come as well leave in the same text.
where r.status = 'planned' and r.send_at <= $4::timestamptz and r.text_out_id is null
order by c.birth_on, c.id
for update of r skip locked
