-- What failed for good is a list that a person sees, mends and sends again.
alter table text_out
  add column closed_at timestamptz,
  add column closed_by text,
  add constraint text_out_is_closed_by_someone check ((closed_at is null) = (closed_by is null));
create index text_out_failed_idx on text_out (district_id, created_at desc)
  where status in ('failed', 'undelivered', 'unknown') and closed_at is null;

-- A text whose answering fails is tried again with growing pauses, and put aside after some tries.
alter table text_in
  add column tries integer not null default 0,
  add column tried_at timestamptz,
  add column trouble text,
  add column parked_at timestamptz;
create index text_in_parked_idx on text_in (parked_at) where parked_at is not null;
drop index text_in_unhandled_idx;
create index text_in_unhandled_idx on text_in (received_at) where handled_at is null and parked_at is null;
