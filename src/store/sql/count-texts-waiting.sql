-- Texts of a district that have not left yet although their time has come, and the children whose families are texted.
-- $1 district (uuid); $2 now (timestamptz).
select
  (
    select count(*)::int from text_out
    where district_id = $1::uuid and status in ('waiting', 'sending') and send_at <= $2::timestamptz
  ) as waiting,
  (
    select count(distinct g.child_id)::int
    from phone_line l
    join caregiver g on g.line_id = l.id and g.until is null
    join child c on c.id = g.child_id
    where l.district_id = $1::uuid and l.stopped_at is null and c.status = 'active'
  ) as texted_children
