-- Which processes of which release run, and in which minutes each role did its work and reached the database.
create table service_process (
  id uuid primary key,
  roles text not null,
  release text not null,
  started_at timestamptz not null,
  seen_at timestamptz not null
);
create table uptime_hour (
  role text not null,
  hour timestamptz not null,
  -- Bit n: minute n of the hour.
  minutes bigint not null,
  primary key (role, hour),
  constraint uptime_hour_has_sixty_minutes check (minutes between 0 and 1152921504606846975)
);
