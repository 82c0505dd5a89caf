-- Exchange with other registers: numbers that others gave to a child, what others say of its doses, and when a
-- record changed last.

-- A child has the number of its card and any number of others, each unique for whoever issued it.
create table child_number (
  -- A URI that names the issuer.
  issuer text not null,
  number text not null,
  child_id uuid not null references child,
  since timestamptz not null,
  primary key (issuer, number)
);
create index child_number_of_child_idx on child_number (child_id);

-- What another register says of one dose. It may come before the child is known, again, or in the wrong order: the
-- newest statement stands, and the doses follow from the statements (app/exchange/settle-doses.ts).
create table stated_dose (
  issuer text not null,
  number text not null,
  district_id uuid not null references district,
  -- The child as it was named; null in child_id while nobody here has that number.
  child_issuer text not null,
  child_number text not null,
  child_id uuid references child,
  -- Null while the code, or the day, cannot be read.
  vaccine text,
  given_on date,
  -- As it came.
  code jsonb not null,
  day_text text not null,
  post_id uuid references health_post,
  delivery text not null,
  is_elsewhere boolean not null,
  is_withdrawn boolean not null,
  -- When the other register says that it changed the statement.
  stated_at timestamptz,
  received_at timestamptz not null,
  received_by text not null,
  -- Why it is no dose on record: the code of a refusal. Null: it is one, or it is withdrawn.
  problem text,
  primary key (issuer, number),
  constraint stated_dose_delivery_is_known check (delivery in ('routine', 'campaign'))
);
create index stated_dose_of_child_idx on stated_dose (child_id);
create index stated_dose_of_unknown_child_idx on stated_dose (child_issuer, child_number) where child_id is null;
create index stated_dose_aside_idx on stated_dose (district_id, received_at) where problem is not null;

alter table review_item drop constraint review_item_kind_is_known;
alter table review_item add constraint review_item_kind_is_known
  check (kind in ('parent-text', 'double', 'dose-twice', 'failing-number', 'other-register'));

-- When a record changed last, for those who ask what is new. The database keeps it, whoever writes.
alter table child add column updated_at timestamptz not null default clock_timestamp();
alter table dose add column updated_at timestamptz not null default clock_timestamp();

create function note_update() returns trigger language plpgsql as $$
begin
  new.updated_at := clock_timestamp();
  return new;
end $$;

create trigger child_notes_update before update on child for each row
  when ((old.district_id, old.village_id, old.card_number, old.name, old.sex, old.birth_on, old.is_birth_estimated, old.status, old.status_on)
    is distinct from (new.district_id, new.village_id, new.card_number, new.name, new.sex, new.birth_on, new.is_birth_estimated, new.status, new.status_on))
  execute function note_update();
create trigger dose_notes_update before update on dose for each row execute function note_update();

-- The phones and numbers of a child are told with it. A child that came in the same transaction is new anyway.
create function note_update_of_children() returns trigger language plpgsql as $$
begin
  update child set updated_at = clock_timestamp()
  where id in (select child_id from touched) and updated_at < now();
  return null;
end $$;
create trigger caregiver_joins after insert on caregiver referencing new table as touched
  for each statement execute function note_update_of_children();
create trigger caregiver_changes after update on caregiver referencing new table as touched
  for each statement execute function note_update_of_children();
create trigger child_number_joins after insert on child_number referencing new table as touched
  for each statement execute function note_update_of_children();

create index child_by_update_idx on child (district_id, updated_at);
create index dose_by_update_idx on dose (district_id, updated_at);
