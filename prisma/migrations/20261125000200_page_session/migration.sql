-- Who is signed in to the pages, and the codes and links that let people in. Secrets are kept as digests only.

create table sign_in_code (
  id uuid primary key,
  -- Null: nobody works under that number. The row is there so that the answer, and its tries, are the same.
  person_id uuid references person,
  number_digest text not null,
  code_digest text not null,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  tries integer not null default 0,
  used_at timestamptz,
  constraint sign_in_code_tries_are_counted check (tries >= 0)
);
create index sign_in_code_of_number_idx on sign_in_code (number_digest, created_at);
create index sign_in_code_by_age_idx on sign_in_code (created_at);

create table sign_in_link (
  digest text primary key,
  person_id uuid not null references person,
  created_at timestamptz not null,
  expires_at timestamptz not null,
  used_at timestamptz
);

create table page_session (
  id uuid primary key,
  digest text not null,
  person_id uuid references person,
  token_id uuid references api_token,
  created_at timestamptz not null,
  seen_at timestamptz not null,
  expires_at timestamptz not null,
  ended_at timestamptz,
  constraint page_session_digest_is_unique unique (digest),
  constraint page_session_has_one_holder check (num_nonnulls(person_id, token_id) = 1)
);
