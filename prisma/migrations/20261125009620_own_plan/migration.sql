-- What a clinician decided for one child: a vaccine put off until a day, or a risk that the schedule's rules ask for.
create table clinical_note (
  id uuid primary key,
  child_id uuid not null references child,
  district_id uuid not null references district,
  -- What was decided, why and by whom, all sealed: it tells of a child's health.
  decision jsonb not null,
  reason text not null,
  decided_by text not null,
  noted_by text not null,
  noted_on date not null,
  ended_on date,
  ended_by text,
  created_at timestamptz not null,
  constraint clinical_note_decision_is_sealed check (decision #>> '{}' like 'sealed:j:%'),
  constraint clinical_note_reason_is_sealed check (reason like 'sealed:t:%'),
  constraint clinical_note_decided_by_is_sealed check (decided_by like 'sealed:t:%'),
  constraint clinical_note_ends_by_someone check ((ended_on is null) = (ended_by is null))
);
create index clinical_note_of_child_idx on clinical_note (child_id);
create index clinical_note_in_force_idx on clinical_note (district_id, noted_on) where ended_on is null;

alter table child
  -- The decisions in force, as the schedule needs them; sealed.
  add column own_plan jsonb,
  add constraint child_own_plan_is_sealed check (own_plan #>> '{}' like 'sealed:j:%'),
  -- Minutes after midnight, on the clock of the district.
  add column birth_minute int,
  add constraint child_birth_minute_is_of_a_day check (birth_minute between 0 and 1439);
