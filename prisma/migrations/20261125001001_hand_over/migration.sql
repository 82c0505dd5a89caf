-- Reminders are taken by lane, districts taking turns; what only lay on the conveyor is planned again.
create index reminder_due_in_district_idx on reminder (district_id, send_at, id) where status = 'planned';
update reminder set status = 'planned' where status = 'queued' and text_out_id is null;

-- How often a text was taken and its end not learned.
alter table text_out add column doubts integer not null default 0;
