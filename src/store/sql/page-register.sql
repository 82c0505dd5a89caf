-- Followed children of a district with their routine doses, by card. $1 district (uuid); $2 card after which to go on,
-- '' at first (text); $3 how many (int). A number that may not be written to stays here. Served by
-- child_card_number_is_unique and dose_of_child_idx.
select c.card_number, c.name, c.sex, c.birth_on::text, v.name as village, line.number, line.language,
  coalesce((
    select jsonb_agg(jsonb_build_object('vaccine', d.vaccine, 'on', d.given_on) order by d.given_on, d.vaccine)
    from dose d
    where d.child_id = c.id and d.voided_at is null and d.delivery = 'routine'
  ), '[]'::jsonb) as doses
from child c
join village v on v.id = c.village_id
left join lateral (
  select l.number, l.language
  from caregiver g
  join phone_line l on l.id = g.line_id
  where g.child_id = c.id and g.until is null and l.stopped_at is null and l.consent = 'given'
  order by g.since, g.id
  limit 1
) line on true
where c.district_id = $1::uuid and c.status in ('active', 'away') and c.card_number > $2::text
order by c.card_number
limit $3::int
