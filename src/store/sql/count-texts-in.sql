-- Texts a district's people and families wrote since an instant, by what hindered them; null where nothing did.
-- $1 district (uuid); $2 since (timestamptz).
select problem, count(*)::int as texts
from text_in
where district_id = $1::uuid and received_at >= $2::timestamptz and handled_at is not null
group by problem
order by texts desc, problem
