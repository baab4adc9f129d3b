"""Bringing in what a studio kept before: a table's headings, rows and cells, and one importer a noun."""
