-- What was done on the pages, by API and by text in each week, by the role of who did it; names nobody.
-- $1 district (uuid); $2 its time zone; $3 since (timestamptz).
-- Reads the record since then whole: it has no index by time, and is asked by command once in a while.
with act_of_actor as (
  select
    date_trunc('week', happened_at at time zone $2)::date as week,
    actor,
    act,
    count(*) as acts
  from change
  where district_id = $1::uuid and happened_at >= $3::timestamptz
  group by 1, 2, 3
),
role_of_actor as (
  select
    a.actor,
    -- An actor is a person or a token by its identifier, a token by its name, or the service itself.
    coalesce(
      (select p.role from person p where p.id::text = a.actor),
      (select t.role from api_token t where t.id::text = a.actor or t.name = a.actor order by t.created_at desc limit 1),
      'service'
    ) as role
  from (select distinct actor from act_of_actor) as a
)
select
  to_char(week, 'YYYY-MM-DD') as week,
  role,
  act,
  count(*)::int as people,
  sum(acts)::int as acts
from act_of_actor
join role_of_actor using (actor)
group by week, role, act
order by week, role, act
