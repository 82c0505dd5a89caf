-- What a district may spend on texts, and what they cost it.
alter table district_setting
  drop constraint district_setting_name_is_known,
  add constraint district_setting_name_is_known check (name in ('search', 'doubles', 'spending'));
create index text_out_of_district_idx on text_out (district_id, created_at);
