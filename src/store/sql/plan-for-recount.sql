-- For the rest of this transaction: as long as it takes, hash tables in memory, no compiling of plans that run once.
select
  set_config('statement_timeout', '0', true) as timeout,
  set_config('work_mem', '512MB', true) as memory,
  set_config('jit', 'off', true) as jit
