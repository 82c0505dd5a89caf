-- What is known of a child beyond doses: when it comes back, what was not given and why, how it was called before,
-- and what waits for a person to look at.

alter table child add column away_until date;
alter table child add constraint child_is_away_until check (away_until is null or status = 'away');

-- A dose not given is a record too.
create table dose_not_given (
  id uuid primary key,
  district_id uuid not null references district,
  child_id uuid not null references child,
  -- Null: all that was due.
  vaccine text,
  reason text not null,
  noted_on date not null,
  noted_by text not null,
  text_in_id uuid references text_in,
  created_at timestamptz not null,
  withdrawn_at timestamptz
);
create index dose_not_given_of_child_idx on dose_not_given (child_id, noted_on);

create table former_name (
  id uuid primary key,
  child_id uuid not null references child,
  name text not null,
  until timestamptz not null
);
create index former_name_of_child_idx on former_name (child_id);

-- What a person has to look at: a parent's free text, two cards of one child, a number that fails.
create table review_item (
  id uuid primary key,
  district_id uuid not null references district,
  kind text not null,
  child_id uuid references child,
  other_child_id uuid references child,
  line_id uuid references phone_line,
  text_in_id uuid references text_in,
  note text,
  created_at timestamptz not null,
  closed_at timestamptz,
  closed_by text,
  outcome text,
  constraint review_item_kind_is_known check (kind in ('parent-text', 'double', 'dose-twice', 'failing-number')),
  constraint review_item_close_is_whole check ((closed_at is null) = (closed_by is null))
);
create index review_item_open_idx on review_item (district_id, created_at) where closed_at is null;
