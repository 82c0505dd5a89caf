-- Keeps writers of the sums waiting for the rest of the transaction; readers go on.
lock table coverage_cell in share row exclusive mode
