-- A family bars other systems from being told of its child.
alter table child
  add column sharing_barred_at timestamptz,
  -- Who wrote the wish down.
  add column sharing_barred_by text,
  add constraint child_sharing_bar_is_whole check ((sharing_barred_at is null) = (sharing_barred_by is null));

create or replace function may_share(c child) returns boolean language sql immutable
  as $$ select c.erased_at is null and c.sharing_barred_at is null $$;
