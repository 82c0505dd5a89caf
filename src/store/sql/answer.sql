-- Asks whether the database answers.
select 1 as answer
