-- Of which children an answer, page, list, file or text told, beside its subject: who got what can be asked by child. The
-- chain of the record covers it where there are any, so that older entries read as they did.
alter table change add column child_ids uuid[] not null default '{}';
create index change_of_children_idx on change using gin (child_ids) where child_ids <> '{}';
