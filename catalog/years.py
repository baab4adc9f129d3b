"""Dates told to the year alone, as years of life are: doubt, open ends and alternatives stay, days and months go."""

from catalog.date_grammar import OPEN, UNKNOWN, Single, structure
from catalog.date_words import words


def to_the_year(edtf: str) -> str:
    """An EDTF text (ISO 8601-2:2019) of the same meaning with years alone; "" for "".

    “1931-05-03~” is “1931~”, “1898-05/1900” is “1898/1900”, “1931-05/1931-07” is “1931”. “/1932-05” (before May 1932)
    is “[..1932]” (1932 or earlier), for before 1932 it need not be. Raises `NotUnderstood` for what is no date.
    """
    if not edtf:
        return ""
    whole = structure(edtf)
    items = [(_year(start), _year(end)) for start, end in whole.items]
    if whole.kind in ("single", "interval"):
        (start, end), (first, last) = items[0], whole.items[0]
        if start == end:
            return start
        if first == UNKNOWN and isinstance(last, Single) and last.month:
            return f"[..{end}]"
        if last == UNKNOWN and isinstance(first, Single) and first.month:
            return f"[{start}..]"
        return f"{start}/{end}"
    members = list(dict.fromkeys(_member(*item) for item in items))
    if len(members) == 1 and ".." not in members[0]:
        return members[0]
    opening, closing = "[]" if whole.kind == "one of" else "{}"
    return f"{opening}{','.join(members)}{closing}"


def year_words(edtf: str) -> str:
    """The same in English: “1931”, “c. 1931”, “before 1932”, “between 1898 and 1900”; "" for ""."""
    return words(to_the_year(edtf)) if edtf else ""


def life(born: str, died: str) -> str:
    """Years of life: “1880–1955”, “c. 1880–”; "" when neither is known."""
    return f"{year_words(born)}–{year_words(died)}" if born or died else ""


def _year(end: Single | str) -> str:
    return f"{end.year}{end.doubts[0]}" if isinstance(end, Single) else end


def _member(start: str, end: str) -> str:
    if start == end:
        return start
    return f"{'' if start == OPEN else start}..{'' if end == OPEN else end}"
