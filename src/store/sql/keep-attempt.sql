-- Keeps what was done since begin-attempt.
release savepoint attempt
