-- Texts whose words are gone, because their term ended or a child was erased: the row stays, since it is counted.
alter table text_in add column emptied_at timestamptz;
alter table text_out add column emptied_at timestamptz;

-- The next texts whose term ended.
create index text_in_to_empty_idx on text_in (district_id, received_at) where emptied_at is null;
create index text_out_to_empty_idx on text_out (district_id, created_at) where emptied_at is null;

-- A district may set its own terms.
alter table district_setting
  drop constraint district_setting_name_is_known,
  add constraint district_setting_name_is_known
    check (name in ('search', 'doubles', 'spending', 'advice', 'retention'));
