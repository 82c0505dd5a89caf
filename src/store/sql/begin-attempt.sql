-- Starts a part of a transaction that can be undone by itself.
savepoint attempt
