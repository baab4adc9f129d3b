"""The archival catalog: plate, edition, print, processing, place, owner."""

__version__ = "0.1.0"
