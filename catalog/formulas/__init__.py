"""Published formulas as pure functions, each citing its source; no database."""
