-- Makes the stored verdicts of some children equal to those given and touches only rows that differ.
-- $1 children (uuid[]); $2 json array of {childId, doseId, series, number, isValid, reason}.
-- Served by dose_verdict_of_child_idx.
with wanted as (
  select w."childId" as child_id, w."doseId" as dose_id, w.series, w.number, w."isValid" as is_valid, w.reason
  from jsonb_to_recordset($2::jsonb) as w(
    "childId" uuid, "doseId" uuid, series text, number integer, "isValid" boolean, reason text
  )
),
removed as (
  delete from dose_verdict v
  where v.child_id = any($1::uuid[])
    and not exists (select from wanted w where w.dose_id = v.dose_id and w.series = v.series)
  returning v.dose_id
),
stored as (
  insert into dose_verdict as v (dose_id, series, child_id, number, is_valid, reason)
  select dose_id, series, child_id, number, is_valid, reason
  from wanted
  on conflict (dose_id, series) do update
    set number = excluded.number, is_valid = excluded.is_valid, reason = excluded.reason
    where (v.number, v.is_valid, v.reason) is distinct from (excluded.number, excluded.is_valid, excluded.reason)
  returning v.dose_id
)
select ((select count(*) from removed) + (select count(*) from stored))::int as changed
