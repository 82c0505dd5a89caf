-- Work on many records leaves when it began and ended and what came of it; a run without an end died.
create table batch_run (
  id uuid primary key,
  kind text not null,
  started_at timestamptz not null,
  ended_at timestamptz,
  counts jsonb,
  trouble text
);
create index batch_run_latest_idx on batch_run (started_at desc);
