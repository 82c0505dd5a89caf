-- A PIN for texts and screens. Its owner chooses it, with a code that a manager makes; a new code ends the old PIN.
create table text_pin (
  person_id uuid primary key references person (id),
  -- Salt and scrypt digest, sealed: of the PIN, or of the code that lets it be chosen.
  digest text,
  code_digest text,
  code_until timestamptz,
  wrong_tries int not null default 0 check (wrong_tries >= 0),
  locked_at timestamptz,
  changed_at timestamptz not null,
  constraint text_pin_code_is_whole check ((code_digest is null) = (code_until is null)),
  constraint text_pin_is_chosen_or_waits check (digest is null or code_digest is null)
);

-- The acts for which a district asks the PIN.
alter table district add column pin_acts text[] not null default '{}';

alter table text_in
  -- The PIN of a text that nobody has read yet, sealed; never beyond that.
  add column pin text,
  add constraint text_in_pin_is_forgotten check (pin is null or (handled_at is null and parked_at is null));
