"""Cells read as what a field holds; every one tells its doubts and keeps as note what it could not read."""

import re
from functools import lru_cache

from catalog.dates import Date
from catalog.errors import NotUnderstood
from catalog.exchange.free_text.dates import read_date
from catalog.exchange.free_text.near_processes import likely_process
from catalog.exchange.free_text.processes import ProcessReading, read_process
from catalog.exchange.free_text.size_units import FRACTION
from catalog.exchange.free_text.sizes import SizeReading, read_size
from catalog.exchange.importing.frame import Options, Row
from catalog.measures import format_length, parse_length, parse_number
from catalog.quantities import format_weight, parse_weight
from catalog.records.catalogs import Artist

SILVER_GELATIN = re.compile(
    r"(?:brom)?silber-?gelatine|gelatine?[- ]silver|silver[- ]gelatine?|gélatino-?bromure|\bargentique", re.IGNORECASE
)
PRINTED = re.compile(r"print|tirage|épreuve|abzug|papier", re.IGNORECASE)
NOT_KNOWN = "names no process that is known here."
DRY_PLATE = "gelatin dry-plate negative"
COMMA = re.compile(r"(?<=[0-9]),(?=[0-9])")
COMMAS = 'If commas are points in this list: decimal = "comma" in the mapping file.'
LAST_COMMA = re.compile(r"[0-9],[0-9]+(?![0-9]*[.,])")
POINTS = r"(?<![0-9.,])[1-9][0-9]{0,2}(?:\.[0-9]{3})+"  # between thousands
BEFORE_COMMA, MAYBE_THOUSANDS = re.compile(rf"{POINTS}(?=,[0-9])"), re.compile(rf"{POINTS}(?![0-9.,])")
# Micrometres and milligrams; no plate of the trade is so large, thick or heavy. From memory, not confirmed.
LARGEST, THICKEST, HEAVIEST = 1_000_000, 20_000, 20_000_000


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
    return _come(row, field, made, options, today)


def printed_in(row: Row, field: str, options: Options, *, today: str) -> Date | None:
    """When a print was printed: of “Dec 2013, printed 2014” the latter, and the rest is kept as note."""
    made, printed = dates_in(row, field, options)
    if printed is not None and made is not None:
        row.keep(field, f"read as printed {printed.text()}; {made.text()} belongs to its negative, not to this field")
    return _come(row, field, printed or made, options, today)


def _come(row: Row, field: str, date: Date | None, options: Options, today: str) -> Date | None:
    if date is not None and today and date.earliest > today:
        mend = "Mend the cell."
        if completed_in(row, field, options):
            mend = "Its hundred is that of short_years in the mapping file: set another there, or write the year whole."
        row.refuse(field, f"{date.text()} has not come yet; expected a date up to today. {mend}")
        return None
    return date


def completed_in(row: Row, field: str, options: Options) -> Date | None:
    """The date of a cell whose year has its hundred from short_years in the mapping file, None where no year has."""
    text = row.get(field)
    if not text or not options.hundred:
        return None
    whole = read_date(text, day_first=options.day_first, hundred=options.hundred)
    bare = read_date(text, day_first=options.day_first)
    return None if (whole.made, whole.printed) == (bare.made, bare.printed) else whole.made or whole.printed


def mind_life(row: Row, field: str, made: Date, artist: Artist, options: Options) -> None:
    """Doubt a date at which the artist was not born yet, or dead; it is added as read, for the other may be wrong."""
    said = artist.beyond(made.earliest, made.latest)
    if said:
        said += "; its hundred is that of short_years in the mapping file" if completed_in(row, field, options) else ""
        row.doubt(field, f"read as {made.text()}, {said}")


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
    unit = row.layout.units.get(field, "")
    usual = "" if unit else options.unit
    found = read_size(plain_number(text, options), unit=unit, usual=usual, width_first=options.width_first)
    if found.why_not:
        row.keep(field, found.why_not)
        return None
    for doubt in found.doubts:
        row.doubt(field, doubt)
    if field == "size" and found.height and found.width:
        mind_large(row, field, found.height, found.width)
    return found


def mind_large(row: Row, field: str, *sides: int) -> None:
    """Doubt a side of a plate, in micrometres, that none of the trade has."""
    if max(sides) > LARGEST:
        row.doubt(field, f"read as {format_length(max(sides))}, longer than a plate is; look at its unit")


def length_in(row: Row, field: str, options: Options, unit: str = "mm") -> int | None:
    """A length in micrometres; a bare number has the unit of its heading, else `unit`."""
    length = _quantity(row, field, options, unit, _length)
    if field == "thickness" and length is not None and length > THICKEST:
        row.doubt(field, f"read as {format_length(length)}, thicker than a plate is; look at its unit")
    return length


def weight_in(row: Row, field: str, options: Options, unit: str = "g") -> int | None:
    """A weight in milligrams; a bare number has the unit of its heading, else `unit`."""
    weight = _quantity(row, field, options, unit, _weight)
    if weight is not None and weight > HEAVIEST:
        row.doubt(field, f"read as {format_weight(weight)}, heavier than a plate is; look at its unit")
    return weight


def process_in(row: Row, field: str, options: Options, *, of: str = "") -> ProcessReading | None:
    """The process in a cell, after the mapping file's spellings; None where it is empty.

    What is no process known here stands as written, in `process`. That is told once a file by who asks: then, and only
    then, it has a `why_not`. What may be misspelled or mean another is a doubt; words left over are kept as note. `of`
    is what the whole table is of, such as "negative": it is no doubt then that “wet collodion” is that of a negative.
    """
    text = row.get(field)
    if not text:
        return None
    meant = options.meant("processes", text)
    found = read_process(meant)
    if found.why_not and meant != text:
        return found._replace(process=meant, why_not="")  # so a person said
    of_print = SILVER_GELATIN.search(text) or found.process.endswith("print")
    if of == "negative" and of_print and not found.process.endswith("negative"):
        return _coated(row, field, found)
    if found.why_not:
        return _as_written(row, field, found)
    settled = bool(of) and found.process.endswith(of) and len(found.doubts) == 1 and not found.rest
    for doubt in () if settled else found.doubts:
        row.keep(field, doubt) if found.rest else row.doubt(field, doubt)
    return found


def _as_written(row: Row, field: str, found: ProcessReading) -> ProcessReading:
    text = row.get(field)
    if found.why_not.endswith(NOT_KNOWN):
        likely = likely_process(text)
        if not likely:
            return found._replace(process=text)
        row.doubt(field, f"“{text}” may be {likely}, misspelled; it stands as written")
    else:
        row.doubt(field, f"{found.why_not.rstrip('.')}; it stands as written")
    return found._replace(process=text, why_not="")


def _coated(row: Row, field: str, found: ProcessReading) -> ProcessReading:
    """Of a negative: silver gelatin on glass is a dry plate; a process of prints stands as written."""
    text = row.get(field)
    glass = "glass" in (found.support, read_process(row.get("support")).support)
    if glass and SILVER_GELATIN.search(text) and not PRINTED.search(text):
        row.doubt(field, f"taken for a {DRY_PLATE}, as it is on glass")
        if found.rest:
            row.keep(field, f"“{', '.join(found.rest)}” is not understood")
        return found._replace(process=DRY_PLATE, support="glass", why_not="")
    if SILVER_GELATIN.search(text) and not PRINTED.search(text):  # what it is coated with, and no print
        return found._replace(process=text, why_not=NOT_KNOWN)
    row.doubt(field, "no process of a negative that is known here; it stands as written")
    return found._replace(process=text, why_not="")


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
    """Text with a point between the digits where the file has a comma there, and then none between thousands."""
    if not options.decimal_comma:
        return text
    return COMMA.sub(".", BEFORE_COMMA.sub(lambda match: match[0].replace(".", ""), text))


def comma_told(number: str, options: Options) -> str:
    """A sentence on the mapping file for a number that ends with a decimal comma, to be put behind another."""
    if options.decimal_comma or not LAST_COMMA.search(number):
        return ""
    return f" {COMMAS}"


def is_bare(number: str) -> bool:
    """Whether a text is a number and nothing else: “4.75”, “4 3/4”, “3¼”, “2-1/4”."""
    return parse_number(number) is not None


def _quantity(row: Row, field: str, options: Options, unit: str, read) -> int | None:  # type: ignore[no-untyped-def]
    text = row.get(field)
    if not text:
        return None
    number, said = plain_number(text, options).replace("⁄", "/"), row.layout.units.get(field, "")
    problem = _unsure(text, options) or ("" if said else _fraction(number, unit))
    value = None
    if not problem:
        value, problem = read(f"{number} {said or unit}" if is_bare(number) and (said or unit) else number)
    if problem:
        row.keep(field, problem + comma_told(number, options))
        return None
    assert value is None or isinstance(value, int)
    return value


def _unsure(text: str, options: Options) -> str:
    """Why a number of a list with decimal commas has no meaning that is sure, "" where it has."""
    if options.decimal_comma and MAYBE_THOUSANDS.search(text):
        return f"“{text}” may be a number with three decimals or one of thousands. Mend the cell."
    return ""


def _fraction(number: str, unit: str) -> str:
    """Why a bare number is not taken for one of a unit that nobody wrote beside it, "" where it is."""
    if unit in ("", "in") or not FRACTION.search(number) or not is_bare(number):
        return ""
    said = f"“{number}” has a fraction, as inches have, and no unit; it is hardly meant in {unit}"
    return f"{said}. Write its unit into the cell or the heading."


def length_of(text: str) -> int | None:
    """A length with its unit in micrometres, None where it is not understood."""
    return _length(text)[0]


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
