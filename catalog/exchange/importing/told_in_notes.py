"""Mails and telephone numbers in other cells of a party: kept as they stand, and told, for none can be forgotten."""

import re

from catalog.exchange.importing.frame import DOUBTFUL, Row, Told

MAIL = re.compile(r"[^\s@<>,;:]+@[^\s@<>,;:]+\.[^\W\d_]{2,}")
# Digits in groups that begin with + or 0, that a word calls so, or three, three and four; common practice, no source.
MORE = r"(?:[ ./()-]{0,2}[0-9])"
TELEPHONE = re.compile(
    rf"(?<![\w.,/+-])(?:\+[ (]?[0-9]{MORE}{{6,}}|\(?0{MORE}{{6,}}"
    r"|\(?[0-9]{3}\)?[ .-][0-9]{3}[ .-][0-9]{4}(?![0-9])"
    rf"|(?:tel|tél|phone|telephone|téléphone|telefon|mobile|mobil|portable|handy|fax)\b[.:\s]*[+(]?[0-9]{MORE}{{5,}})",
    re.IGNORECASE,
)
LONGEST = 5_000  # signs of a cell that are looked at
DATE = re.compile(
    r"(?<![0-9])(?:[0-9]{1,2}[./-][0-9]{1,2}[./-](?:[0-9]{4}|[0-9]{2})|[0-9]{4}-[0-9]{2}-[0-9]{2})(?![0-9])"
)


def way_in(text: str) -> str:
    """What a text seems to hold: “a mail”, “a telephone number”, both, or "" for neither."""
    without = DATE.sub(" – ", text[:LONGEST])
    ways = [name for name, form in (("a mail", MAIL), ("a telephone number", TELEPHONE)) if form.search(without)]
    return " and ".join(ways)


def tell_ways(row: Row, name: str) -> None:
    """Tell every cell of a row that seems to say how somebody is reached and stands under no field for it."""
    for place in range(len(row.texts)):
        way = "" if place in row.layout.unkept else way_in(row.texts[place])
        if way:
            reason = (
                f"it seems to hold {way} of “{name}”, and where it stands it stays readable for good: forgetting "
                f"them does not reach it. Move it to a column of its own, or take it out, before it is added"
            )
            row.told.append(Told(row.line, row.layout.headings[place], row.texts[place], DOUBTFUL, reason))
