-- A family that was told of a day hears at once when there is no visit on it and no other day yet.

alter table reminder
  drop constraint reminder_kind_is_known,
  add constraint reminder_kind_is_known check (
    kind in ('ahead', 'eve', 'missed-1', 'missed-2', 'aftercare', 'moved', 'called-off')
  );
