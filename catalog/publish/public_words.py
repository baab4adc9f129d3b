"""Public words: dates, sizes and standings as the public copy says them."""

from functools import lru_cache

from catalog.dates import parse_date
from catalog.measures import format_size

PUBLIC_WORDS = {
    "free": "not yet printed",
    "reserved": "reserved",
    "void": "void",
    **dict.fromkeys(("printed", "signed", "consigned", "lent", "elsewhere"), "available"),
    **dict.fromkeys(("sold", "given", "exchanged"), "placed"),
    "kept": "kept",
    "destroyed": "destroyed",
    "lost": "lost",
}
SPOKEN_FOR = ("printed", "signed", "consigned", "lent", "elsewhere", "kept", "sold")


@lru_cache(maxsize=4096)
def date_words(edtf: str) -> str:
    """A date in English, "" where there is none."""
    return parse_date(edtf).text() if edtf else ""


@lru_cache(maxsize=4096)
def size_words(height: int | None, width: int | None) -> str:
    """Height by width, "" where not known."""
    return format_size(height, width) if height and width else ""


def public_word(standing: str, reserved: bool) -> str:
    """The public word for a standing of the studio. Promised, or sold and its title still here, it is reserved."""
    return "reserved" if reserved and standing in SPOKEN_FOR else PUBLIC_WORDS[standing]


@lru_cache(maxsize=4096)
def signed_words(signed: str, position: str, medium: str, estate: bool) -> str:
    """“signed verso in pencil, 3 May 2026”, "" where it is not signed."""
    if not signed:
        return ""
    words = ("signed for the estate" if estate else "signed", position, f"in {medium}" if medium else "")
    return " ".join(word for word in words if word) + f", {date_words(signed)}"
