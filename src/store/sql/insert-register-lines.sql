-- Stores the lines of caregivers of a register; one that is known stays as it is, with its own language and consent.
-- $1 district (uuid); $2 json array of {id, numbers, start, language}, the forms a sealed number may have, the one to store first;
-- $3 now (timestamptz). Served by phone_line_is_one_per_number_and_district.
insert into phone_line (id, district_id, number, number_start, language, consent, consent_source, consent_at)
select distinct on (g.numbers[1]) g.id, $1::uuid, g.numbers[1], g.start, g.language, 'given', 'register', $3::timestamptz
from jsonb_to_recordset($2::jsonb) as g(id uuid, numbers text[], start text, language text)
where not exists (
  select
  from unnest(g.numbers[2:]) as f(number)
  join phone_line l on l.district_id = $1::uuid and l.number = f.number
)
order by g.numbers[1]
on conflict (district_id, number) do nothing
