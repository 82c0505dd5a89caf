-- The register: who lives where, who looks after them, what was given, what is planned, what was said.
-- Days are `date` and have no zone; instants are `timestamptz`. Constraints are named for the rule they hold.

create table district (
  id uuid primary key,
  name text not null,
  time_zone text not null,
  region text not null,
  languages text[] not null,
  calendar text not null default 'gregory',
  is_day_first boolean not null default true,
  schedule_code text not null,
  bundling_days integer not null default 14,
  reminder_policy text not null default 'default',
  created_at timestamptz not null default now(),
  constraint district_name_is_unique unique (name),
  constraint district_has_a_language check (cardinality(languages) > 0),
  constraint district_bundling_is_sensible check (bundling_days between 0 and 60)
);

create table health_post (
  id uuid primary key,
  district_id uuid not null references district,
  name text not null,
  session_rules text[] not null default '{}',
  extra_days date[] not null default '{}',
  except_days date[] not null default '{}',
  constraint health_post_name_is_unique unique (district_id, name)
);

create table village (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid not null references health_post,
  name text not null,
  population integer,
  births_per_1000 numeric(6, 2),
  infant_deaths_per_1000_births numeric(6, 2),
  latitude double precision,
  longitude double precision,
  -- Empty: the village is served on the days of its health post.
  session_rules text[] not null default '{}',
  extra_days date[] not null default '{}',
  except_days date[] not null default '{}',
  constraint village_name_is_unique unique (district_id, name),
  constraint village_population_is_not_negative check (population >= 0),
  constraint village_rates_are_rates check (
    births_per_1000 between 0 and 1000 and infant_deaths_per_1000_births between 0 and 1000
  )
);
create index village_of_post_idx on village (post_id);

create table person (
  id uuid primary key,
  district_id uuid not null references district,
  post_id uuid references health_post,
  name text not null,
  role text not null,
  phone text not null,
  language text not null,
  is_active boolean not null default true,
  constraint person_phone_is_unique unique (phone),
  constraint person_phone_is_e164 check (phone ~ '^\+[1-9][0-9]{6,14}$'),
  constraint person_role_is_known check (role in ('vaccinator', 'manager', 'officer', 'operator'))
);

create table phone_line (
  id uuid primary key,
  district_id uuid not null references district,
  number text not null,
  language text not null,
  consent text not null,
  consent_source text,
  consent_at timestamptz,
  stopped_at timestamptz,
  -- Which reminders the family wants; the codes of HL7 table 0215 map onto these.
  preference text not null default 'any',
  created_at timestamptz not null default now(),
  constraint phone_line_is_one_per_number_and_district unique (district_id, number),
  constraint phone_line_number_is_e164 check (number ~ '^\+[1-9][0-9]{6,14}$'),
  constraint phone_line_consent_is_known check (consent in ('asked', 'given', 'withdrawn'))
);
create index phone_line_number_idx on phone_line (number);

create table schedule_version (
  id uuid primary key,
  code text not null,
  effective_on date not null,
  data jsonb not null,
  published_by text not null,
  published_at timestamptz not null default now(),
  constraint schedule_version_is_one_per_code_and_day unique (code, effective_on)
);

create table child (
  id uuid primary key,
  district_id uuid not null references district,
  village_id uuid not null references village,
  card_number text not null,
  name text not null,
  sex text,
  birth_on date not null,
  is_birth_estimated boolean not null default false,
  birth_weight_grams integer,
  status text not null default 'active',
  status_on date,
  status_reason text,
  enrolled_on date not null,
  enrolled_by text not null,
  enrolled_via text not null,
  -- Set while nothing is wanted soon: the day on which to plan this child again.
  plan_again_on date,
  created_at timestamptz not null default now(),
  constraint child_card_number_is_unique unique (card_number),
  constraint child_card_number_has_eight_digits check (card_number ~ '^[0-9]{8}$'),
  constraint child_sex_is_known check (sex in ('female', 'male')),
  constraint child_status_is_known check (status in ('active', 'moved', 'lost', 'refused', 'died', 'away', 'duplicate', 'entered-in-error')),
  constraint child_birth_weight_is_possible check (birth_weight_grams between 300 and 8000),
  constraint child_enrolled_after_birth check (enrolled_on >= birth_on),
  -- Lets a dose carry the birth date, so that the database itself can refuse a dose before it.
  constraint child_birth_is_addressable unique (id, birth_on)
);
create index child_of_village_idx on child (village_id, birth_on);
create index child_to_plan_again_idx on child (plan_again_on) where plan_again_on is not null;

-- Numbers the cards made here; core/card-number.ts turns the count into a number that does not look like one.
create sequence card_serial maxvalue 9999999;

create index child_of_district_by_birth_idx on child (district_id, birth_on);

create table caregiver (
  id uuid primary key,
  child_id uuid not null references child,
  line_id uuid not null references phone_line,
  relation text,
  since timestamptz not null default now(),
  until timestamptz
);
create unique index caregiver_is_current_once on caregiver (child_id, line_id) where until is null;
create index caregiver_of_line_idx on caregiver (line_id) where until is null;

create table text_in (
  id uuid primary key,
  gateway text not null,
  key text not null,
  from_number text not null,
  to_number text not null,
  body text not null,
  -- Parts of a long text that never came; nothing is recorded from a torn text.
  missing_parts integer not null default 0,
  -- True when it was no text at all: the body is then its octets in hexadecimal.
  is_binary boolean not null default false,
  received_at timestamptz not null,
  district_id uuid references district,
  person_id uuid references person,
  line_id uuid references phone_line,
  -- Filled when the text is understood: what it meant, what it changed, and when.
  act text,
  problem text,
  effect jsonb,
  handled_at timestamptz,
  undone_at timestamptz,
  constraint text_in_is_stored_once unique (gateway, key)
);
create index text_in_unhandled_idx on text_in (received_at) where handled_at is null;
create index text_in_of_person_idx on text_in (person_id, received_at desc);
create index text_in_of_number_idx on text_in (from_number, received_at desc);

create table dose (
  id uuid primary key,
  district_id uuid not null references district,
  child_id uuid not null,
  birth_on date not null,
  vaccine text not null,
  given_on date not null,
  -- The number someone typed, kept only to be compared with the number history gives.
  typed_number integer,
  post_id uuid references health_post,
  delivery text not null default 'routine',
  is_elsewhere boolean not null default false,
  recorded_by text not null,
  recorded_via text not null,
  sent_at timestamptz,
  recorded_at timestamptz not null,
  text_in_id uuid references text_in,
  voided_at timestamptz,
  voided_by text,
  void_reason text,
  constraint dose_of_child foreign key (child_id, birth_on) references child (id, birth_on) on update cascade,
  constraint dose_not_before_birth check (given_on >= birth_on),
  constraint dose_delivery_is_known check (delivery in ('routine', 'campaign')),
  constraint dose_void_is_whole check (
    (voided_at is null) = (void_reason is null) and (voided_at is null) = (voided_by is null)
  )
);
create unique index dose_is_recorded_once_a_day on dose (child_id, vaccine, given_on) where voided_at is null;
create index dose_of_child_idx on dose (child_id, given_on);

-- What each dose counts for under the schedule in force; rewritten whenever its child is planned again.
create table dose_verdict (
  dose_id uuid not null references dose,
  series text not null,
  child_id uuid not null references child,
  number integer,
  is_valid boolean not null,
  reason text,
  primary key (dose_id, series)
);
create index dose_verdict_of_child_idx on dose_verdict (child_id);

create table appointment (
  id uuid primary key,
  district_id uuid not null references district,
  child_id uuid not null references child,
  village_id uuid not null references village,
  session_on date not null,
  -- [{"series","dose","vaccine"}]: what should be given on that day.
  doses jsonb not null,
  schedule_code text not null,
  -- The family's wish to come no earlier (LATER).
  not_before_on date,
  status text not null default 'planned',
  reason text,
  created_at timestamptz not null,
  closed_at timestamptz,
  constraint appointment_status_is_known check (status in ('planned', 'kept', 'missed', 'replaced', 'cancelled')),
  constraint appointment_close_is_whole check ((status = 'planned') = (closed_at is null))
);
create unique index appointment_is_planned_once on appointment (child_id) where status = 'planned';
create index appointment_of_child_idx on appointment (child_id, session_on);
create index appointment_by_day_idx on appointment (district_id, session_on) where status = 'planned';

create table text_out (
  id uuid primary key,
  district_id uuid references district,
  number text not null,
  body text not null,
  purpose text not null,
  is_urgent boolean not null,
  parts integer not null,
  in_reply_to uuid references text_in,
  status text not null default 'waiting',
  reason text,
  gateway text,
  tries integer not null default 0,
  created_at timestamptz not null,
  send_at timestamptz not null,
  useful_until timestamptz,
  lease_until timestamptz,
  handed_at timestamptz,
  settled_at timestamptz,
  constraint text_out_answers_once unique (in_reply_to),
  constraint text_out_purpose_is_known check (purpose in ('reminder', 'reply', 'alert', 'list')),
  constraint text_out_status_is_known check (
    status in ('waiting', 'sending', 'handed', 'delivered', 'undelivered', 'unknown', 'failed', 'lapsed')
  )
);
create index text_out_waiting_idx on text_out (send_at) where status = 'waiting';
create index text_out_sending_idx on text_out (lease_until) where status = 'sending';
create index text_out_of_number_idx on text_out (number, created_at desc);

create table text_part (
  gateway text not null,
  provider_id text not null,
  text_out_id uuid not null references text_out,
  state text,
  created_at timestamptz not null,
  primary key (gateway, provider_id)
);
create index text_part_of_text_idx on text_part (text_out_id);

create table receipt (
  id uuid primary key,
  gateway text not null,
  provider_id text not null,
  state text not null,
  reason text,
  happened_at timestamptz,
  received_at timestamptz not null,
  is_matched boolean not null default false
);
create index receipt_unmatched_idx on receipt (gateway, provider_id) where not is_matched;

create table reminder (
  id uuid primary key,
  district_id uuid not null references district,
  child_id uuid not null references child,
  line_id uuid not null references phone_line,
  -- Null only for aftercare, which is about doses given, not about a visit to come.
  appointment_id uuid references appointment,
  kind text not null,
  -- The day the text is about: the session, or for aftercare the day of the doses.
  about_on date not null,
  send_at timestamptz not null,
  useful_until timestamptz not null,
  status text not null default 'planned',
  reason text,
  text_out_id uuid references text_out,
  created_at timestamptz not null,
  updated_at timestamptz not null,
  constraint reminder_is_one_per_appointment_line_and_kind unique (appointment_id, line_id, kind),
  constraint reminder_kind_is_known check (kind in ('ahead', 'eve', 'missed-1', 'missed-2', 'aftercare')),
  constraint reminder_has_an_appointment check (appointment_id is not null or kind = 'aftercare'),
  constraint reminder_status_is_known check (
    status in ('planned', 'queued', 'handed', 'delivered', 'undelivered', 'unknown', 'withdrawn', 'lapsed')
  )
);
create unique index reminder_aftercare_is_one_per_day on reminder (child_id, line_id, about_on)
  where kind = 'aftercare' and status <> 'withdrawn';
create index reminder_due_idx on reminder (send_at) where status = 'planned';
create index reminder_queued_idx on reminder (updated_at) where status = 'queued';
create index reminder_bundle_idx on reminder (line_id, kind, about_on);
create index reminder_of_child_idx on reminder (child_id);
create index reminder_of_text_idx on reminder (text_out_id);

create table dialogue (
  gateway text not null,
  id text not null,
  number text not null,
  state jsonb not null,
  updated_at timestamptz not null,
  primary key (gateway, id)
);
create index dialogue_of_number_idx on dialogue (number, updated_at desc);

create table api_token (
  id uuid primary key,
  name text not null,
  hash text not null,
  role text not null,
  district_id uuid references district,
  created_at timestamptz not null,
  expires_at timestamptz,
  revoked_at timestamptz,
  last_used_at timestamptz,
  constraint api_token_hash_is_unique unique (hash),
  constraint api_token_role_is_known check (role in ('officer', 'manager', 'vaccinator', 'operator', 'machine'))
);

create table idempotency_key (
  token_id uuid not null references api_token,
  key text not null,
  request_digest text not null,
  status integer not null,
  body jsonb not null,
  created_at timestamptz not null,
  primary key (token_id, key)
);

-- Who changed what; the doses' own columns say who gave and who withdrew them.
create table change (
  id uuid primary key,
  district_id uuid references district,
  happened_at timestamptz not null,
  actor text not null,
  act text not null,
  subject_kind text not null,
  subject_id uuid not null,
  before jsonb,
  after jsonb
);
create index change_of_subject_idx on change (subject_id, happened_at);
