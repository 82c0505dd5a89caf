-- The time by the clock that dates every change of a record.
select clock_timestamp() as now
