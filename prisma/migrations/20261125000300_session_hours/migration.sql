-- The hours of a place's sessions, as families read them behind the day: 09:00-13:00. Null: not known.

alter table health_post
  add column session_hours text,
  add constraint health_post_hours_are_hours check (session_hours ~ '^[0-9]{2}:[0-9]{2}-[0-9]{2}:[0-9]{2}$');
alter table village
  add column session_hours text,
  add constraint village_hours_are_hours check (session_hours ~ '^[0-9]{2}:[0-9]{2}-[0-9]{2}:[0-9]{2}$');
