-- Undoes what was done since begin-attempt.
rollback to savepoint attempt
