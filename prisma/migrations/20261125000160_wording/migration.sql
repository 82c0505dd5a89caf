-- How a district words its texts and calls its children.

alter table district
  -- {"fr": {"reminder-eve": "…"}}: texts in place of the phrase books', checked like them before they are stored.
  add column wording jsonb not null default '{}',
  add column child_naming text not null default 'first-name',
  add constraint district_child_naming_is_known check (child_naming in ('first-name', 'initials'));
