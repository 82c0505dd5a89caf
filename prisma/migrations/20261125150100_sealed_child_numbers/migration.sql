-- breaking: an older release would write these numbers as they are, and cannot read sealed ones.
-- A number that an authority gave to a child says who it is, as a phone number does.

alter table child_number
  add constraint child_number_number_is_sealed check (number like 'sealed:n:%') not valid;
alter table stated_dose
  add constraint stated_dose_number_is_sealed check (number like 'sealed:n:%') not valid,
  add constraint stated_dose_child_number_is_sealed check (child_number like 'sealed:n:%') not valid;
