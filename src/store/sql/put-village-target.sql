-- Keeps what the authority states of a village's yearly target, and who stated it for which year; null where nobody did.
-- $1 village (uuid); $2 live births; $3 surviving infants (numeric); $4 source (text); $5 year (integer);
-- $6 targets of single series (jsonb: series to number).
update village
set live_births = $2::numeric, surviving_infants = $3::numeric, target_source = $4::text, target_year = $5::int, series_targets = $6::jsonb
where id = $1::uuid
