-- When a report of a reaction changed last, for those who ask what is new.
alter table reaction add column updated_at timestamptz not null default clock_timestamp();
create trigger reaction_notes_update before update on reaction for each row execute function note_update();
create index reaction_by_update_idx on reaction (district_id, updated_at);
