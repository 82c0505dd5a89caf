-- Who was expected at the sessions of the last months, and who came: the attendance that supplies are planned with.
create index appointment_by_past_day_idx on appointment (district_id, session_on) where status in ('kept', 'missed');
