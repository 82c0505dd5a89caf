-- Reactions (adverse events following immunization), alerts until someone has taken them on, and recalls of a lot.

create table reaction (
  id uuid primary key,
  district_id uuid not null references district,
  child_id uuid not null references child,
  post_id uuid references health_post,
  reaction_on date not null,
  reported_at timestamptz not null,
  reported_by text not null,
  reported_via text not null,
  text_in_id uuid references text_in,
  words text not null,
  signs text[] not null default '{}',
  outcomes text[] not null default '{}',
  is_serious boolean not null,
  route text not null,
  -- The doses of the latest vaccination before it; none of them is said to be its cause.
  dose_ids uuid[] not null default '{}',
  -- Core variables that an officer added, by their codes.
  facts jsonb not null default '{}',
  voided_at timestamptz,
  constraint reaction_route_is_known check (route in ('at-once', 'today', 'line-list')),
  constraint reaction_serious_goes_at_once check (is_serious = (route = 'at-once'))
);
create index reaction_of_child_idx on reaction (child_id) where voided_at is null;
create index reaction_of_district_idx on reaction (district_id, reported_at);

create table alert (
  id uuid primary key,
  district_id uuid not null references district,
  -- Typed back behind the word that takes an alert on.
  number integer not null,
  kind text not null,
  -- What alike alerts have in common; one of a kind is open at a time.
  subject text not null,
  post_id uuid references health_post,
  child_id uuid references child,
  reaction_id uuid references reaction,
  words text not null,
  raised_at timestamptz not null,
  steps_done text[] not null default '{}',
  next_step_at timestamptz,
  acknowledged_at timestamptz,
  acknowledged_by text,
  notified_at timestamptz,
  notified_by text,
  investigated_at timestamptz,
  investigated_by text,
  closed_at timestamptz,
  constraint alert_number_is_unique unique (district_id, number),
  constraint alert_kind_is_known check (kind in ('reaction', 'cluster', 'family-words', 'cold-chain', 'stock')),
  constraint alert_taking_on_is_whole check ((acknowledged_at is null) = (acknowledged_by is null))
);
create unique index alert_is_open_once on alert (district_id, kind, subject) where closed_at is null;
create index alert_due_idx on alert (next_step_at) where next_step_at is not null;

create table recall (
  id uuid primary key,
  district_id uuid not null references district,
  lot text not null,
  vaccine text,
  reason text not null,
  prepared_by text not null,
  prepared_at timestamptz not null,
  confirmed_by text,
  confirmed_at timestamptz,
  sent_texts integer,
  constraint recall_confirmation_is_whole check ((confirmed_at is null) = (confirmed_by is null))
);
create index recall_of_district_idx on recall (district_id, prepared_at);
