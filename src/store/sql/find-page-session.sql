-- The holder of a living session of the pages: a person who works here or a token that still stands.
-- $1 digest of the session's secret; $2 now (timestamptz); $3 last seen after (timestamptz).
-- Served by page_session_digest_is_unique.
select
  s.id::text,
  s.seen_at,
  coalesce(p.name, t.name) as name,
  coalesce(p.role, t.role) as role,
  coalesce(p.district_id, t.district_id)::text as district_id,
  coalesce(p.id, t.id)::text as holder_id,
  t.expires_at
from page_session s
left join person p on p.id = s.person_id
left join api_token t on t.id = s.token_id
where s.digest = $1
  and s.ended_at is null
  and s.expires_at > $2::timestamptz
  and s.seen_at > $3::timestamptz
  and (
    p.is_active
    or (t.id is not null and t.revoked_at is null and (t.expires_at is null or t.expires_at > $2::timestamptz))
  )
