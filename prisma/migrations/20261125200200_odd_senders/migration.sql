-- Texts that one person can hardly have sent are put before a manager.
alter table review_item drop constraint review_item_kind_is_known;
alter table review_item add constraint review_item_kind_is_known check (
  kind in ('parent-text', 'double', 'dose-twice', 'failing-number', 'other-register', 'many-doses', 'far-places')
);
