-- Why a dose was given that does not count, written down by hand; the reason is sealed, as it tells of a child.
create table dose_against_advice (
  dose_id uuid primary key references dose on delete cascade,
  reason text not null,
  noted_by text not null,
  noted_at timestamptz not null,
  constraint dose_against_advice_reason_is_sealed check (reason like 'sealed:t:%')
);
