-- No PIN lies in the clear, not even for a moment.
alter table text_pin
  add constraint text_pin_digest_is_sealed check (digest like 'sealed:t:%') not valid,
  add constraint text_pin_code_digest_is_sealed check (code_digest like 'sealed:t:%') not valid;
alter table text_in
  add constraint text_in_pin_is_sealed check (pin like 'sealed:t:%') not valid;
