-- breaking: an older release would write names and numbers as they are, and cannot read sealed ones.
-- Names, numbers and words are sealed by the service under a key that the database never sees (src/store/sealing). These
-- checks keep plain ones out; rows from before are sealed by the release's first start, which is why nothing is checked
-- here and now. A number is sealed to the same text each time, so its unique constraints and indexes go on to serve.

-- The keys that sealed something here; they give nothing away, and tell a service that has another key.
create table sealing_key (
  id text primary key,
  since timestamptz not null
);

alter table person
  drop constraint person_phone_is_e164,
  add constraint person_phone_is_sealed check (phone like 'sealed:n:%') not valid,
  add constraint person_name_is_sealed check (name like 'sealed:t:%') not valid;
alter table phone_line
  drop constraint phone_line_number_is_e164,
  add constraint phone_line_number_is_sealed check (number like 'sealed:n:%') not valid;
alter table child
  add constraint child_name_is_sealed check (name like 'sealed:t:%') not valid,
  add constraint child_status_reason_is_sealed check (status_reason like 'sealed:t:%') not valid;
alter table former_name
  add constraint former_name_name_is_sealed check (name like 'sealed:t:%') not valid;
alter table text_in
  add constraint text_in_from_number_is_sealed check (from_number like 'sealed:n:%') not valid,
  add constraint text_in_body_is_sealed check (body like 'sealed:t:%') not valid;
alter table text_out
  add constraint text_out_number_is_sealed check (number like 'sealed:n:%') not valid,
  add constraint text_out_body_is_sealed check (body like 'sealed:t:%') not valid;
alter table dialogue
  add constraint dialogue_number_is_sealed check (number like 'sealed:n:%') not valid,
  add constraint dialogue_state_is_sealed check (state #>> '{}' like 'sealed:j:%') not valid;
alter table dose
  add constraint dose_void_reason_is_sealed check (void_reason like 'sealed:t:%') not valid;
alter table review_item
  add constraint review_item_note_is_sealed check (note like 'sealed:t:%') not valid;
alter table reaction
  add constraint reaction_words_is_sealed check (words like 'sealed:t:%') not valid,
  add constraint reaction_facts_is_sealed check (facts = '{}' or facts #>> '{}' like 'sealed:j:%') not valid;
alter table alert
  add constraint alert_words_is_sealed check (words like 'sealed:t:%') not valid;
alter table change
  add constraint change_before_is_sealed check (before #>> '{}' like 'sealed:j:%') not valid,
  add constraint change_after_is_sealed check (after #>> '{}' like 'sealed:j:%') not valid;
alter table idempotency_key
  add constraint idempotency_key_body_is_sealed check (body #>> '{}' like 'sealed:j:%') not valid;
alter table sign_in_code
  add constraint sign_in_code_number_digest_is_sealed check (number_digest like 'sealed:n:%') not valid;
