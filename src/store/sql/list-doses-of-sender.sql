-- The doses that a person's texts reported since an instant and that stand, with the places where the children live.
-- $1 person (uuid); $2 since (timestamptz). Served by text_in_of_person_idx.
select t.received_at as reported_at, d.given_on = (t.received_at at time zone i.time_zone)::date as is_of_the_day,
  v.latitude, v.longitude
from text_in t
cross join lateral jsonb_array_elements_text(t.effect -> 'doseIds') as e (dose_id)
join dose d on d.id = e.dose_id::uuid and d.voided_at is null
join child c on c.id = d.child_id
join village v on v.id = c.village_id
join district i on i.id = d.district_id
where t.person_id = $1::uuid and t.received_at > $2::timestamptz
