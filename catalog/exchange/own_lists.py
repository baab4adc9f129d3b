"""The lists this program writes for people, by their headings, so that one that is imported again is known as ours.

Their texts are defused against spreadsheets (see cells.py), those of other people's lists are not: an apostrophe in
front is taken off in ours alone.
"""

from collections.abc import Iterable

PLATES = (
    "code", "title", "series", "made", "process", "support", "height, cm", "width, cm", "state", "place", "who has it",
    "owner", "mark on the plate", "note",
)  # fmt: skip
PRINTS = (
    "code", "title", "plate", "edition", "kind", "number", "of", "made", "signed", "paper", "image height, cm",
    "image width, cm", "state", "place", "who has it", "owner", "note",
)  # fmt: skip
GALLERY = (
    "artist", "title", "dates", "process", "toning", "paper", "edition", "number", "print", "image (h x w), cm",
    "image (h x w), in", "sheet (h x w), cm", "sheet (h x w), in", "price", "currency", "availability", "picture",
)  # fmt: skip


def is_own(headings: Iterable[str]) -> bool:
    """Whether a table has every heading of one of our lists; columns that somebody added make no difference."""
    there = set(headings)
    return any(there.issuperset(own) for own in (PLATES, PRINTS, GALLERY))
