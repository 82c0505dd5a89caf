-- Records that may be of one child: kept for a person, merged, and taken apart again.

-- What a district has set in place of the data that ships: how children are searched, how doubles are found.
create table district_setting (
  district_id uuid not null references district,
  name text not null,
  value jsonb not null,
  changed_by text not null,
  changed_at timestamptz not null,
  primary key (district_id, name),
  constraint district_setting_name_is_known check (name in ('search', 'doubles'))
);

alter table child
  -- The record that stands for this one; its card keeps working.
  add column merged_into uuid references child,
  -- Children of one birth share a group and have their order in it.
  add column birth_group uuid,
  add column birth_order integer,
  -- False: what tells this child from others changed since it was compared with them.
  add column is_compared boolean not null default false,
  add constraint child_merged_is_duplicate check (merged_into is null or status = 'duplicate'),
  add constraint child_merged_into_another check (merged_into <> id),
  add constraint child_birth_order_is_of_a_group check ((birth_group is null) = (birth_order is null)),
  add constraint child_birth_order_is_small check (birth_order between 1 and 9);
create index child_to_compare_idx on child (district_id, id) where not is_compared;
create index child_merged_into_idx on child (merged_into) where merged_into is not null;
create unique index child_birth_order_is_one on child (birth_group, birth_order);

-- The record by whose card or identifier a dose was reported, where it had been merged by then.
alter table dose add column reported_for uuid references child;

alter table review_item
  add column points integer,
  -- [{"fact","says","points"}]: why two records were put side by side.
  add column reasons jsonb,
  -- Of the facts that were compared: "no double" holds while it stays the same.
  add column facts_digest text,
  add column dose_id uuid references dose,
  add column other_dose_id uuid references dose,
  -- Null: found by rule.
  add column raised_by text,
  add column comment text;
create unique index review_item_double_waits_once on review_item (child_id, other_child_id)
  where kind = 'double' and closed_at is null;
create unique index review_item_dose_twice_waits_once on review_item (dose_id, other_dose_id)
  where kind = 'dose-twice' and closed_at is null;
create index review_item_of_child_idx on review_item (child_id) where kind in ('double', 'dose-twice');
create index review_item_of_other_child_idx on review_item (other_child_id) where kind = 'double';

create table child_merge (
  id uuid primary key,
  district_id uuid not null references district,
  stays_id uuid not null references child,
  leaves_id uuid not null references child,
  -- What the reviewer chose, and what was moved, so that it can be taken back item by item.
  choices jsonb not null,
  moved jsonb not null,
  comment text,
  merged_by text not null,
  merged_at timestamptz not null,
  undone_by text,
  undone_at timestamptz,
  constraint child_merge_undo_is_whole check ((undone_by is null) = (undone_at is null))
);
create unique index child_merge_leaves_once on child_merge (leaves_id) where undone_at is null;
create index child_merge_of_stays_idx on child_merge (stays_id);
