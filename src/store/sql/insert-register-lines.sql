-- Stores the lines of caregivers of a register; one that is known stays as it is, with its own language and consent.
-- $1 district (uuid); $2 json array of {id, number, language}; $3 now (timestamptz).
insert into phone_line (id, district_id, number, language, consent, consent_source, consent_at)
select distinct on (g.number) g.id, $1::uuid, g.number, g.language, 'given', 'register', $3::timestamptz
from jsonb_to_recordset($2::jsonb) as g(id uuid, number text, language text)
order by g.number
on conflict (district_id, number) do nothing
