"""In and out: spreadsheets and what people wrote in them, and a catalog that leaves whole in open forms."""
