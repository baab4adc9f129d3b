"""Whole numbers as people type them: counts, sizes, years."""

MOST_DIGITS = 15  # what a count can have; a longer one is a slip


def whole_number(text: str) -> int | None:
    """A number typed in the digits 0 to 9 alone, else None: “²”, “٣”, “+5” and “1e3” are no counts."""
    typed = text.strip()
    return int(typed) if typed.isascii() and typed.isdigit() and len(typed) <= MOST_DIGITS else None
