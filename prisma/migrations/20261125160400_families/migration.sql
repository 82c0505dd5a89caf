-- Whose phone a caregiver's is, and where a family can be found; what no longer holds stays with its last day.

alter table caregiver
  add column phone_kind text,
  add constraint caregiver_phone_kind_is_known check (phone_kind in ('own', 'household', 'neighbour', 'work'));

create table child_address (
  id uuid primary key,
  child_id uuid not null references child (id),
  address text not null,
  since timestamptz not null,
  until timestamptz,
  constraint child_address_address_is_sealed check (address like 'sealed:t:%'),
  constraint child_address_ends_after_its_start check (until >= since)
);
create index child_address_of_child_idx on child_address (child_id);
