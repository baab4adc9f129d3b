"""Records turned into finished content for paper; never opens a database."""
