"""One noun a file: the record and the operations that read and write it."""
