-- The next counts for cards made here; never given twice. $1 how many (integer).
select nextval('card_serial')::int as serial
from generate_series(1, $1::int)
