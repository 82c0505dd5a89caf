-- Temperatures of refrigerators, the ledger of closed vials, and which session plans were texted.

create table fridge_reading (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid not null references health_post,
  -- As the post calls it.
  fridge text not null,
  read_at timestamptz not null,
  celsius double precision not null,
  read_by text not null,
  noted_by text not null,
  noted_via text not null,
  text_in_id uuid references text_in,
  voided_at timestamptz,
  constraint fridge_reading_reader_is_known check (read_by in ('hand', 'logger')),
  constraint fridge_reading_is_possible check (celsius between -90 and 60)
);
create unique index fridge_reading_is_noted_once on fridge_reading (post_id, fridge, read_at, read_by)
  where voided_at is null;

create table stock_entry (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid not null references health_post,
  vaccine text not null,
  product text not null,
  lot text,
  kind text not null,
  vials integer not null,
  reason text,
  happened_at timestamptz not null,
  noted_by text not null,
  noted_via text not null,
  text_in_id uuid references text_in,
  voided_at timestamptz,
  constraint stock_entry_kind_is_known check (
    kind in (
      'opening-balance', 'received', 'sent', 'taken-out', 'brought-back', 'discarded-closed', 'counted'
    )
  ),
  constraint stock_entry_vials_are_counted check (vials >= 0),
  constraint stock_entry_waste_has_a_reason check ((kind = 'discarded-closed') = (reason is not null))
);
create index stock_entry_of_post_idx on stock_entry (post_id, product, happened_at) where voided_at is null;

create table carry_notice (
  post_id uuid not null references health_post,
  session_on date not null,
  told_at timestamptz not null,
  primary key (post_id, session_on)
);
