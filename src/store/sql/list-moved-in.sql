-- Followed children who came to their village since a day: moved here by a change of record, or enrolled when no longer
-- newborn. $1 district (uuid); $2 village (uuid, or null for all); $3 since (timestamptz); $4 since (date);
-- $5 age in days from which an enrolment is late. Served by child_of_district_by_birth_idx and change_of_subject_idx.
select
  c.id::text as child_id,
  c.card_number,
  c.name,
  c.birth_on::text,
  v.id::text as village_id,
  v.name as village,
  coalesce((moved.happened_at at time zone d.time_zone)::date, c.enrolled_on)::text as came_on,
  moved.happened_at is not null as is_move
from child c
join village v on v.id = c.village_id
join district d on d.id = c.district_id
left join lateral (
  select max(happened_at) as happened_at
  from change
  where subject_id = c.id and act = 'move' and happened_at >= $3::timestamptz
) moved on true
where c.district_id = $1::uuid
  and ($2::uuid is null or c.village_id = $2::uuid)
  and c.status = 'active'
  and (
    moved.happened_at is not null
    or (c.enrolled_on >= $4::date and c.enrolled_via <> 'import' and c.enrolled_on - c.birth_on >= $5::int)
  )
order by v.name, came_on, c.id
