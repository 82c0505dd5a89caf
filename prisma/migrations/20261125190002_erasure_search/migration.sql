-- Texts are sealed, so those that name an erased child can only be found by opening them: a batch at a time, after the
-- rest of it is gone. A search that has ended is deleted, and with it the last that says who the child was.
create table erasure_search (
  id uuid primary key,
  district_ids uuid[] not null,
  -- The child's cards, names and records, sealed.
  marks jsonb not null,
  -- What was kept before cannot tell of the child.
  since timestamptz not null,
  asked_at timestamptz not null,
  stage text not null default 'texts-in',
  -- The last row that was looked at; null at the start of a stage.
  after text,
  constraint erasure_search_marks_is_sealed check (marks #>> '{}' like 'sealed:j:%'),
  constraint erasure_search_stage_is_known check (stage in ('texts-in', 'texts-out', 'answers'))
);
