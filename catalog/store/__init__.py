"""The SQLite file: opening it, its schema and migrations, its journal, its backup."""
