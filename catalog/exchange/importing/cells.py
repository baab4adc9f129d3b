"""Cells read as what a field holds; every one tells its doubts and keeps as note what it could not read."""

import re
from functools import lru_cache

from catalog.dates import Date
from catalog.errors import NotUnderstood
from catalog.exchange.free_text.dates import read_date
from catalog.exchange.free_text.processes import ProcessReading, read_process
from catalog.exchange.free_text.sizes import SizeReading, read_size
from catalog.exchange.importing.frame import Options, Row
from catalog.measures import parse_length
from catalog.quantities import parse_weight

BARE_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")
SILVER_GELATIN = re.compile(
    r"(?:brom)?silber-?gelatine|gelatine?[- ]silver|silver[- ]gelatine?|gélatino-?bromure|\bargentique", re.IGNORECASE
)
PRINTED = re.compile(r"print|tirage|épreuve|abzug|papier", re.IGNORECASE)
DRY_PLATE = "gelatin dry-plate negative"
ROUNDED = 2_000  # micrometres by which one length written twice, in inches and in centimetres, may be apart
COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")


def date_in(row: Row, field: str, options: Options, *, today: str = "") -> Date | None:
    """The date in a cell, None where it is empty or not understood (then it is kept as note).

    A print date beside it ("1933, printed 1979") is told as a doubt and kept as note; `dates_in` gives it. `today`, an
    ISO day, refuses a date that has not come yet.
    """
    made, printed = dates_in(row, field, options)
    if printed is not None and made is not None:
        row.keep(field, f"read as made {made.text()}; “printed {printed.text()}” belongs to a print, not to this field")
    elif printed is not None:
        row.keep(field, f"read as printed {printed.text()}, which does not say when it was made")
    return _come(row, field, made, today)


def printed_in(row: Row, field: str, options: Options, *, today: str) -> Date | None:
    """When a print was printed: of “Dec 2013, printed 2014” the latter, and the rest is kept as note."""
    made, printed = dates_in(row, field, options)
    if printed is not None and made is not None:
        row.keep(field, f"read as printed {printed.text()}; {made.text()} belongs to its negative, not to this field")
    return _come(row, field, printed or made, today)


def _come(row: Row, field: str, date: Date | None, today: str) -> Date | None:
    if date is not None and today and date.earliest > today:
        row.refuse(field, f"{date.text()} has not come yet; expected a date up to today. Mend the cell.")
        return None
    return date


def dates_in(row: Row, field: str, options: Options) -> tuple[Date | None, Date | None]:
    """When it was made and, apart from it, when it was printed, as one cell says; what is not read is kept as note."""
    text = row.get(field)
    if not text:
        return None, None
    made, printed, doubts, why_not = read_date(text, day_first=options.day_first, hundred=options.hundred)
    if why_not:
        row.keep(field, why_not)
    for doubt in doubts:
        row.doubt(field, doubt)
    return made, printed


def size_in(row: Row, field: str, options: Options) -> SizeReading | None:
    """The size in a cell with further ones in its `more`, None where there is none or it is not understood."""
    text = row.get(field)
    if not text:
        return None
    found = read_size(plain_number(text, options), unit=options.unit, width_first=options.width_first)
    if found.why_not:
        row.keep(field, found.why_not)
        return None
    for doubt in found.doubts:
        row.doubt(field, doubt)
    return found


def length_in(row: Row, field: str, options: Options, unit: str = "mm") -> int | None:
    """A length in micrometres; a bare number has `unit`, told once a cell by the mapping file and not as a doubt."""
    return _quantity(row, field, options, unit, _length)


def differs(row: Row, field: str, options: Options, length: int) -> bool:
    """Whether a cell tells another length than one that was read elsewhere, in micrometres; not where it tells none."""
    text = plain_number(row.get(field), options)
    try:
        return abs(parse_length(f"{text}{options.unit}" if BARE_NUMBER.fullmatch(text) else text) - length) > ROUNDED
    except NotUnderstood:
        return False


def weight_in(row: Row, field: str, options: Options, unit: str = "g") -> int | None:
    """A weight in milligrams; a bare number has `unit`."""
    return _quantity(row, field, options, unit, _weight)


def process_in(row: Row, field: str, options: Options, *, of: str = "") -> ProcessReading | None:
    """The process in a cell, after the mapping file's spellings; None where it is empty.

    What is no process known here stands as written, in `process`, and is told; words left over are kept as note. `of`
    is what the whole table is of, such as "negative": it is no doubt then that “wet collodion” is that of a negative.
    """
    text = row.get(field)
    if not text:
        return None
    found = read_process(options.meant("processes", text))
    of_print = SILVER_GELATIN.search(text) or found.process.endswith("print")
    if of == "negative" and of_print and not found.process.endswith("negative"):
        return _coated(row, field, found)
    if found.why_not:
        row.doubt(field, f"{found.why_not.rstrip('.')}; it stands as written")
        return found._replace(process=text)
    settled = bool(of) and found.process.endswith(of) and len(found.doubts) == 1 and not found.rest
    for doubt in () if settled else found.doubts:
        row.keep(field, doubt) if found.rest else row.doubt(field, doubt)
    return found


def _coated(row: Row, field: str, found: ProcessReading) -> ProcessReading:
    """Of a negative: silver gelatin on glass is a dry plate; a process of prints stands as written."""
    text = row.get(field)
    glass = "glass" in (found.support, read_process(row.get("support")).support)
    if glass and SILVER_GELATIN.search(text) and not PRINTED.search(text):
        row.doubt(field, f"taken for a {DRY_PLATE}, as it is on glass")
        if found.rest:
            row.keep(field, f"“{', '.join(found.rest)}” is not understood")
        return found._replace(process=DRY_PLATE, support="glass")
    row.doubt(field, "no process of a negative that is known here; it stands as written")
    return found._replace(process=text)


def choice_in(row: Row, field: str, words: dict[str, str], default: str) -> str:
    """One of a list of words: `words` has every spelling, in lower case, with the word of the catalog for it."""
    text = row.get(field)
    if not text:
        return default
    found = words.get(text.casefold())
    if found is None:
        known = ", ".join(dict.fromkeys(words.values()))
        row.keep(field, f"“{text}” is none of {known}" + (f"; taken as {default}" if default else ""))
        return default
    return found


def plain_number(text: str, options: Options) -> str:
    """Text with a point between the digits where the file has a comma there."""
    return COMMA.sub(".", text) if options.decimal_comma else text


def _quantity(row: Row, field: str, options: Options, unit: str, read) -> int | None:  # type: ignore[no-untyped-def]
    text = row.get(field)
    if not text:
        return None
    number = plain_number(text, options)
    value, problem = read(f"{number}{unit}" if BARE_NUMBER.fullmatch(number) else number)
    if problem:
        row.keep(field, problem)
        return None
    assert value is None or isinstance(value, int)
    return value


@lru_cache(maxsize=4096)
def _length(text: str) -> tuple[int | None, str]:
    return _tried(parse_length, text)


@lru_cache(maxsize=4096)
def _weight(text: str) -> tuple[int | None, str]:
    return _tried(parse_weight, text)


def _tried(parse, text: str) -> tuple[int | None, str]:  # type: ignore[no-untyped-def]
    try:
        return parse(text), ""
    except NotUnderstood as refusal:
        return None, refusal.sentence
