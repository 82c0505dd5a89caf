-- A family has its child's data removed: what coverage is counted from stays, who it was goes.
alter table child
  -- Set: the record says no more who the child was, and its card leads nowhere.
  add column erased_at timestamptz,
  drop constraint child_status_is_known,
  add constraint child_status_is_known check (status in (
    'active', 'moved', 'lost', 'refused', 'died', 'away', 'duplicate', 'entered-in-error', 'erased'
  )),
  add constraint child_erased_is_not_followed check (erased_at is null or status not in ('active', 'away'));

-- Whether other systems may be told of a child. The one place that says so.
create function may_share(c child) returns boolean language sql immutable
  as $$ select c.erased_at is null $$;
