"""What is worked out across records: evidence, due, checks, provenance."""
