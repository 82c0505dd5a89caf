-- How soon and how completely each post's children and doses were entered, by month of entry; taken-over registers
-- are left out. Complete: sex, exact birth date and a phone are on record.
-- $1 district (uuid); $2 since (timestamptz).
with told as (
  select v.post_id, date_trunc('month', d.recorded_at at time zone s.time_zone)::date as month_on,
    (d.recorded_at at time zone s.time_zone)::date - d.given_on as delay_days
  from dose d
  join child c on c.id = d.child_id
  join village v on v.id = c.village_id
  join district s on s.id = d.district_id
  where d.district_id = $1::uuid and d.voided_at is null and d.recorded_via <> 'import' and d.recorded_at >= $2::timestamptz
), doses as (
  select post_id, month_on, count(*)::int as doses,
    count(*) filter (where delay_days <= 1)::int as within_1,
    count(*) filter (where delay_days <= 7)::int as within_7,
    count(*) filter (where delay_days <= 30)::int as within_30
  from told
  group by post_id, month_on
), enrolled as (
  select v.post_id, date_trunc('month', c.enrolled_on)::date as month_on, count(*)::int as children,
    count(*) filter (
      where c.sex is not null and not c.is_birth_estimated
        and exists (select from caregiver g where g.child_id = c.id and g.until is null)
    )::int as complete
  from child c
  join village v on v.id = c.village_id
  where c.district_id = $1::uuid and c.enrolled_via <> 'import' and c.created_at >= $2::timestamptz
  group by v.post_id, 2
)
select p.id::text as post_id, p.name as post, month_on::text, coalesce(doses, 0) as doses,
  coalesce(within_1, 0) as within_1, coalesce(within_7, 0) as within_7, coalesce(within_30, 0) as within_30,
  coalesce(children, 0) as children, coalesce(complete, 0) as complete
from doses
full join enrolled using (post_id, month_on)
join health_post p on p.id = post_id
order by p.name, month_on desc
