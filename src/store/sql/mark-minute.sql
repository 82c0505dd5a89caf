-- Marks the minute as one in which a process with these roles did its work and reached the database.
-- $1 roles (text[]); $2 the instant (timestamptz). Locks the row of each role's hour for the moment.
insert into uptime_hour (role, hour, minutes)
select
  role,
  date_trunc('hour', $2::timestamptz, 'UTC'),
  1::bigint << extract(minute from $2::timestamptz at time zone 'UTC')::int
from unnest($1::text[]) as role
order by role
on conflict (role, hour) do update set minutes = uptime_hour.minutes | excluded.minutes
