"""Finished content put on paper: labels, sheets and certificates as PDF. Knows nothing of the catalog."""
