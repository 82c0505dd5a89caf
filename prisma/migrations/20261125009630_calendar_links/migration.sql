-- Links by which a calendar follows the session days of a post or the visits of a child. Whoever has the link may read,
-- until it is ended; only the digest of its secret is kept.
create table calendar_link (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid references health_post,
  child_id uuid references child,
  secret_hash text not null,
  made_by text not null,
  made_at timestamptz not null,
  ended_at timestamptz,
  constraint calendar_link_is_of_one check ((post_id is null) <> (child_id is null)),
  constraint calendar_link_secret_is_unique unique (secret_hash)
);
create index calendar_link_of_district_idx on calendar_link (district_id, made_at);
