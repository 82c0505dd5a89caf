-- Texts of a district by purpose since an instant. $1 district (uuid); $2 since (timestamptz).
select
  purpose,
  count(*)::int as texts,
  sum(parts)::int as parts,
  (count(*) filter (where status = 'delivered'))::int as delivered,
  (count(*) filter (where status in ('undelivered', 'failed', 'lapsed')))::int as lost
from text_out
where district_id = $1::uuid and created_at >= $2::timestamptz
group by purpose
order by purpose
