"""The command line: parse, call one operation, say what happened."""
