"""A list as a large collection of negatives keeps it: forms that museums wrote, under invented titles and numbers.

No open list of tens of thousands of negatives with the dates as they were written was to be had as a file. This one
is made instead, always the same for its length. Its dates are the rows of `free_text/museum_dates.tsv`, its sizes and
mediums those of `museum_forms.tsv`, each as often as it stands there, those that cannot be read among them. In the
dates the years are moved, all of one text by the same, so that a long list has thousands of different ones.

`museum_forms.tsv` was copied by hand from the same published data as the dates (see `free_text/SOURCES.md` for the
sources and their licences; toulouse: captions of the Muséum de Toulouse, single facts). `\\n` there is a line break.
"""

import csv
import random
import re
from pathlib import Path
from typing import NamedTuple

HERE = Path(__file__).parent
HEADINGS = (
    "Accession number", "Title", "Date", "Medium", "Dimensions", "Place made", "Series", "Credit line", "Notes",
    "Object URL",
)  # fmt: skip
YEARS = (1000, 2020)  # moved years stay between these
TWICE = 997
YEAR = re.compile(r"(?<!\d)(\d{4})(?!\d)(?:([-–/])(\d{1,2})(?![\d./-]))?")  # 1736–95 and 1826-7 are one each
ROUND = re.compile(r"(?<!\d)\d{3}0(?:['’]?s\b|er\b)")  # 1890s: moved by whole decades
SUBJECTS = (
    "Low water", "Boat shed", 'Quay, called "the Hard"', "Group at the weir", "Mill race", "Ropewalk, north end",
    "Portrait of a woman", "Zwei Männer am Wehr", "L’atelier, fenêtre ouverte", "Žitava; cesta k mlýnu",
    '"Low water", second plate',
)  # fmt: skip
PLACES = ("", "Port Example", "Quarry Bay", "Upper Mill", "Salt Reach")
SERIES = ("", "", "Salt", "Rooms", 'The "Long" Wall')
CREDITS = ("Gift of A. Example, 1981", "Purchase, with funds of the friends", "")
NOTES = (
    "", "", "", "chipped at the lower left", 'inscribed "No. 4; spoiled" on the sleeve', "emulsion lifting;\nkeep flat",
    "= see the register, p. 12", "-", "Rückseite beschriftet", "two plates, one broken\r\n(see also the next)",
)  # fmt: skip


class Forms(NamedTuple):
    """What museums wrote, each text as often as their tables have it."""

    dates: list[str]
    sizes: list[str]
    mediums: list[str]


def forms() -> Forms:
    """The forms of both tables."""
    kinds: dict[str, list[str]] = {"size": [], "medium": []}
    for kind, text, *_ in _table(HERE / "museum_forms.tsv"):
        kinds[kind].append(text.replace("\\r", "\r").replace("\\n", "\n"))
    dates = [text for text, *_ in _table(HERE / "free_text" / "museum_dates.tsv")]
    return Forms(dates, kinds["size"], kinds["medium"])


def write_list(path: Path, count: int) -> Path:
    """Write a list of so many rows as CSV (RFC 4180, CR LF), always the same."""
    chance, known = random.Random(1851), forms()
    with open(path, "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(HEADINGS)
        row: tuple[str, ...] = ()
        for number in range(1, count + 1):
            again = number >= TWICE and number % TWICE < 2  # now and then a plate twice more, without its number
            row = ("", *row[1:]) if again else _row(number, chance, known)
            writer.writerow(row)
    return path


def moved(text: str, chance: random.Random) -> str:
    """A date with all its years moved by as much; as it stands where none could be moved."""
    steps = 10 if ROUND.search(text) else 1
    if re.search(r"00['’]?s", text):  # the 1800s are a century
        steps = 100
    for _ in range(8):
        by = chance.randint(-60 // steps, 60 // steps) * steps
        years = [_moved(found, by) for found in YEAR.finditer(text)]
        if years and all(years):
            return YEAR.sub(lambda found, by=by: _moved(found, by), text)  # type: ignore[misc]
    return text


def _moved(found: re.Match[str], by: int) -> str:
    """A year, and the shortened one after it, moved; "" where it would be no likely year or not be shortened so."""
    first, between, short = int(found[1]), found[2] or "", found[3] or ""
    if not YEARS[0] <= first + by <= YEARS[1]:
        return ""
    if not short:
        return f"{first + by:04d}"
    parted = 10 ** len(short)
    last = first // parted * parted + int(short)
    if last > first:  # else a month
        if (last + by) // parted != (first + by) // parted:
            return ""
        short = f"{(last + by) % parted:0{len(short)}d}"
    return f"{first + by:04d}{between}{short}"


def _row(number: int, chance: random.Random, known: Forms) -> tuple[str, ...]:
    code = f"{1960 + number % 60}.{number}"
    if number % 211 == 0:
        code = f"{code} (formerly register {number})"  # longer than a code can be
    return (
        "" if number % 89 == 0 else code,
        "" if number % 401 == 0 else f"{chance.choice(SUBJECTS)} {number}",
        moved(chance.choice(known.dates), chance) if chance.random() < 0.95 else "",
        chance.choice(known.mediums) if chance.random() < 0.9 else "",
        chance.choice(known.sizes) if chance.random() < 0.8 else "",
        chance.choice(PLACES),
        chance.choice(SERIES),
        chance.choice(CREDITS),
        chance.choice(NOTES),
        f"https://example.org/objects/{number}" if chance.random() < 0.7 else "",
    )


def _table(path: Path) -> list[list[str]]:
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.reader(file, delimiter="\t", quoting=csv.QUOTE_NONE))[1:]
