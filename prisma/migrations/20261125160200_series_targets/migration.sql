-- Yearly targets of the series that are not measured against births or infants (girls of an age, say), by series.

alter table village
  add column series_targets jsonb not null default '{}',
  add constraint village_series_targets_is_an_object check (jsonb_typeof(series_targets) = 'object');
