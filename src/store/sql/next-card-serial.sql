-- The next count for a card made here.
select nextval('card_serial')::int as serial
