"""The public copy of a catalog, and the pages that serve it."""
