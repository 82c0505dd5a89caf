-- Other systems that are told of what happens, and what each of them was, or is to be, told.

create table webhook (
  id uuid primary key,
  -- Null: every district, training ones left out.
  district_id uuid references district,
  name text not null,
  url text not null,
  kinds text[] not null,
  -- False: identifiers only. True: the record itself goes with them.
  has_details boolean not null,
  secret text not null,
  -- Signs beside the new one for a while after a change.
  former_secret text,
  former_until timestamptz,
  status text not null default 'active',
  created_at timestamptz not null,
  created_by text not null,
  constraint webhook_kinds_are_known check (
    cardinality(kinds) > 0 and kinds <@ array['enrolment', 'dose', 'missed', 'reaction']
  ),
  constraint webhook_status_is_known check (status in ('active', 'paused', 'gone')),
  constraint webhook_former_is_whole check ((former_secret is null) = (former_until is null)),
  constraint webhook_secret_is_sealed check (secret like 'sealed:t:%'),
  constraint webhook_former_secret_is_sealed check (former_secret like 'sealed:t:%')
);
create index webhook_active_idx on webhook (district_id) where status = 'active';

-- One call to one webhook: a row in the transaction of what it tells of. It holds identifiers only.
create table webhook_call (
  id uuid primary key,
  webhook_id uuid not null references webhook,
  district_id uuid not null references district,
  kind text not null,
  child_id uuid not null references child,
  -- The dose, visit or reaction; null for an enrolment.
  subject_id uuid,
  happened_at timestamptz not null,
  status text not null default 'waiting',
  tries integer not null default 0,
  next_try_at timestamptz not null,
  lease_until timestamptz,
  -- What came of the last try.
  answer text,
  settled_at timestamptz,
  constraint webhook_call_status_is_known check (status in ('waiting', 'sending', 'delivered', 'dead')),
  constraint webhook_call_end_is_whole check ((status in ('delivered', 'dead')) = (settled_at is not null))
);
create index webhook_call_due_idx on webhook_call (next_try_at) where status = 'waiting';
create index webhook_call_sending_idx on webhook_call (lease_until) where status = 'sending';
create index webhook_call_of_webhook_idx on webhook_call (webhook_id, id);
create index webhook_call_settled_idx on webhook_call (settled_at) where status = 'delivered';
