-- The hour at which a dose was given, where it was told: minutes after midnight on the clock of the district.
alter table dose
  add column given_minute integer,
  add constraint dose_minute_is_of_a_day check (given_minute between 0 and 1439);
