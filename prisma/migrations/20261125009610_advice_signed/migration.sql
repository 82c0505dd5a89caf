-- A clinician of the district signs the advice that families get, by language and version.

alter table district_setting
  drop constraint district_setting_name_is_known,
  add constraint district_setting_name_is_known check (name in ('search', 'doubles', 'spending', 'advice'));
