-- As what the sums count some children, with their facts; children never counted are absent.
-- $1 children (uuid[]). Served by the primary keys.
select
  c.child_id::text,
  c.village_id::text,
  c.sex,
  c.birth_on::text,
  c.is_in_cohort,
  coalesce(
    jsonb_agg(
      jsonb_build_object(
        'series', f.series,
        'dose', f.dose,
        'delivery', f.delivery,
        'crudeOn', f.crude_on,
        'validOn', f.valid_on,
        'isTimely', f.is_timely
      )
    ) filter (where f.child_id is not null),
    '[]'
  ) as facts
from counted_child c
left join counted_fact f on f.child_id = c.child_id
where c.child_id = any($1::uuid[])
group by c.child_id
