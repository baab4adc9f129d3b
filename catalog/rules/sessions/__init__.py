"""The sheet of a session, and entering what was done: every line becomes a record."""
