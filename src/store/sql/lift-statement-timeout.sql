-- Lets the statements of this transaction run as long as they need.
select set_config('statement_timeout', '0', true)
