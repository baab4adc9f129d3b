"""The lists this program writes for people, by their headings, so that one that is imported again is known as ours.

Their texts are defused against spreadsheets (see cells.py), those of other people's lists are not: an apostrophe in
front is taken off in ours alone.
"""

from collections.abc import Iterable

from catalog.dates import parse_date

PLATES = (
    "code", "title", "series", "made", "process", "support", "height, cm", "width, cm", "state", "place", "who has it",
    "owner", "mark on the plate", "note",
)  # fmt: skip
PRINTS = (
    "code", "title", "plate", "edition", "kind", "number", "of", "made", "signed", "paper", "description of the paper",
    "image size", "state", "place", "who has it", "owner", "note",
)  # fmt: skip
GALLERY = (
    "artist", "title", "dates", "process", "toning", "paper", "edition", "number", "print", "image (h x w), cm",
    "image (h x w), in", "sheet (h x w), cm", "sheet (h x w), in", "price", "currency", "availability", "picture",
)  # fmt: skip


def is_own(headings: Iterable[str]) -> bool:
    """Whether a table has every heading of one of our lists; columns that somebody added make no difference."""
    there = set(headings)
    return any(there.issuperset(own) for own in (PLATES, PRINTS, GALLERY))


def date_text(edtf: str) -> str:
    """A date as it stands in our lists: in words where these are read back as the very same date, else as EDTF.

    A whole day stays in digits, as spreadsheets sort it.
    """
    from catalog.exchange.free_text.dates import read_date

    if not edtf:
        return ""
    date = parse_date(edtf)
    if date.is_exact_day:
        return edtf
    words = date.text()
    made, printed, doubts, _ = read_date(words)
    return words if made == date and not (printed or doubts) else edtf


def length_text(micrometres: int) -> str:
    """A length in centimetres without its unit, exact to the micrometre: “20.32”."""
    whole, part = divmod(micrometres, 10_000)
    return f"{whole}.{part:04d}".rstrip("0").rstrip(".")


def size_text(height: int | None, width: int | None) -> str:
    """A size, height first, exact to the micrometre: “20.32 × 25.4 cm”; "" where a side is not known."""
    return f"{length_text(height)} × {length_text(width)} cm" if height and width else ""
