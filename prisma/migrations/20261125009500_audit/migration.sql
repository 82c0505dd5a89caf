-- The record of who saw or changed what can be added to and not altered: triggers refuse it, and a chain of digests shows
-- it where somebody went around them (src/app/audit). Also what later tables hold in words is sealed.

-- Null: what was seen or refused was no record, but an address of the service.
alter table change alter column subject_id drop not null;

-- Entries that are not in the chain yet; the next round links them.
create table audit_waiting (
  change_id uuid primary key references change on delete cascade
);

-- The chain: each link's digest covers its entry, and its chained digest that and the link before.
create table audit_link (
  serial bigint primary key,
  -- No key to the entry: a removed one must leave its link behind.
  change_id uuid not null,
  digest text not null,
  chained text not null,
  constraint audit_link_is_one_per_change unique (change_id)
);

create function queue_change_for_audit() returns trigger language plpgsql as $$
begin
  insert into audit_waiting values (new.id);
  return null;
end $$;
create trigger change_waits_for_its_link after insert on change
  for each row execute function queue_change_for_audit();
insert into audit_waiting select id from change;

-- Only how an entry is sealed may change (a new key).
create function refuse_alteration() returns trigger language plpgsql as $$
begin
  if tg_op = 'UPDATE' and tg_table_name = 'change' then
    if (to_jsonb(new) - 'before' - 'after') = (to_jsonb(old) - 'before' - 'after') then
      return new;
    end if;
  end if;
  raise exception 'the record of who did what is not altered' using errcode = 'restrict_violation';
end $$;
create trigger change_is_not_altered before update or delete on change
  for each row execute function refuse_alteration();
create trigger audit_link_is_not_altered before update or delete on audit_link
  for each row execute function refuse_alteration();

alter table review_item
  add constraint review_item_reasons_is_sealed check (reasons #>> '{}' like 'sealed:j:%') not valid,
  add constraint review_item_comment_is_sealed check (comment like 'sealed:t:%') not valid;
alter table child_merge
  add constraint child_merge_choices_is_sealed check (choices #>> '{}' like 'sealed:j:%') not valid,
  add constraint child_merge_moved_is_sealed check (moved #>> '{}' like 'sealed:j:%') not valid,
  add constraint child_merge_comment_is_sealed check (comment like 'sealed:t:%') not valid;
alter table vial
  add constraint vial_discard_words_is_sealed check (discard_words like 'sealed:t:%') not valid;
