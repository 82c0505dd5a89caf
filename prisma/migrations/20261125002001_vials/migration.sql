-- Opened vials: until when each may be used, what was drawn from it, and when its post is told.

alter table district
  -- Code of a policy of src/data/products/vial-policies.json.
  add column vial_policy text not null default 'who-2014',
  -- Presentations the district is supplied with, where several are in general use.
  add column products text[] not null default '{}';

create table vial (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid references health_post,
  -- Short, so that it can be written on the vial and typed.
  number integer not null,
  vaccine text not null,
  product text not null,
  lot text not null,
  maker text,
  expiry_on date not null,
  opened_at timestamptz not null,
  opened_by text not null,
  opened_via text not null,
  text_in_id uuid references text_in,
  -- What was asked before opening; null where nobody was asked.
  conditions jsonb,
  policy text not null,
  session_ends_at timestamptz,
  discard_by timestamptz not null,
  discard_because text not null,
  discarded_at timestamptz,
  discarded_by text,
  discard_reason text,
  discard_words text,
  voided_at timestamptz,
  constraint vial_number_is_unique unique (district_id, number),
  constraint vial_number_is_positive check (number > 0),
  constraint vial_limit_is_known check (discard_because in ('expiry', 'open-days', 'open-hours', 'session-end')),
  constraint vial_discard_is_whole check ((discarded_at is null) = (discard_reason is null)),
  constraint vial_discard_reason_is_known check (
    discard_reason in (
      'broken', 'expired', 'cold-failure', 'monitor', 'frozen', 'contaminated', 'time-up', 'session-end', 'used-up'
    )
  )
);
create index vial_in_use_idx on vial (district_id, post_id) where discarded_at is null and voided_at is null;
create index vial_of_lot_idx on vial (district_id, lot);
create index vial_by_opening_idx on vial (district_id, opened_at);

create table vial_warning (
  vial_id uuid not null references vial,
  kind text not null,
  send_at timestamptz not null,
  status text not null default 'planned',
  settled_at timestamptz,
  primary key (vial_id, kind),
  constraint vial_warning_kind_is_known check (kind in ('ends-soon', 'ends-today', 'time-up')),
  constraint vial_warning_status_is_known check (status in ('planned', 'sent', 'withdrawn')),
  constraint vial_warning_end_is_whole check ((status = 'planned') = (settled_at is null))
);
create index vial_warning_due_idx on vial_warning (send_at) where status = 'planned';

alter table dose
  add column vial_id uuid references vial,
  -- True where no vial was named and only one was open at the post.
  add column is_vial_assumed boolean not null default false,
  -- Why a manager should look at the dose and its vial; the dose itself is as it was reported.
  add column vial_flags text[] not null default '{}',
  add column vial_reviewed_at timestamptz,
  add column vial_reviewed_by text,
  add constraint dose_vial_flags_are_known check (
    vial_flags <@ array['other-vaccine', 'before-opening', 'past-time', 'discarded', 'used-up', 'vial-unknown', 'no-vial']
  );
create index dose_of_vial_idx on dose (vial_id) where vial_id is not null;
create index dose_with_doubtful_vial_idx on dose (district_id, given_on)
  where vial_flags <> '{}' and vial_reviewed_at is null and voided_at is null;
