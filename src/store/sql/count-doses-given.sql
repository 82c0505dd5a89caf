-- Doses given in a period, of every delivery, broken down one way; each dose stands in exactly one part.
-- $1 district (uuid); $2 first and $3 last day (date); $4 what to break down by (text).
select
  case $4::text
    when 'village' then v.name
    when 'post' then coalesce(p.name, case when d.is_elsewhere then 'elsewhere' else 'not told' end)
    when 'vaccine' then d.vaccine
    when 'sex' then coalesce(c.sex, 'unknown')
    when 'age' then age_band(d.birth_on, d.given_on)
    when 'delivery' then d.delivery
    when 'maker' then coalesce(b.maker, case when b.id is null then 'no vial named' else 'not told' end)
    when 'lot' then coalesce(b.lot, 'no vial named')
    when 'month' then to_char(d.given_on, 'YYYY-MM')
  end as part,
  count(*)::int as doses
from dose d
join child c on c.id = d.child_id
join village v on v.id = c.village_id
left join health_post p on p.id = d.post_id
left join vial b on b.id = d.vial_id
where d.district_id = $1::uuid and d.voided_at is null and d.given_on between $2::date and $3::date
group by 1
order by 1
