-- The bundles of a lane that go next: one of each district in turn, so that a large district holds up no other.
-- $1 the lane's prefixes (text[]); $2 the prefixes of the other lanes (text[]); $3 now (timestamptz);
-- $4 limit; $5 true where there is no other lane, and numbers need not be looked at.
-- A number belongs to the lane whose prefix fits it longest; one whose start is not known, to the lane of all others. Served by reminder_due_in_district_idx.
with due as (
  select r.district_id, r.line_id, r.kind, r.about_on, min(r.send_at) as send_at
  from district d
  cross join lateral (
    select waiting.district_id, waiting.line_id, waiting.kind, waiting.about_on, waiting.send_at
    from reminder waiting
    where waiting.district_id = d.id
      and waiting.status = 'planned'
      and waiting.send_at <= $3::timestamptz
      and ($5::boolean or exists (
        select
        from phone_line l
        cross join unnest($1::text[]) as own (prefix)
        where l.id = waiting.line_id
          and starts_with(coalesce(l.number_start, ''), own.prefix)
          and not exists (
            select
            from unnest($2::text[]) as other (prefix)
            where starts_with(coalesce(l.number_start, ''), other.prefix) and length(other.prefix) > length(own.prefix)
          )
      ))
    order by waiting.send_at, waiting.id
    limit $4::int
  ) r
  group by r.district_id, r.line_id, r.kind, r.about_on
),
in_turn as (
  select line_id, kind, about_on, send_at,
    row_number() over (partition by district_id order by send_at, line_id, kind) as turn
  from due
)
select line_id::text, kind, about_on::text
from in_turn
order by turn, send_at, line_id, kind
limit $4::int
