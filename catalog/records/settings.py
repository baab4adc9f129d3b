"""Settings that change what records mean; each has its basis named beside it."""

import sqlite3
from collections.abc import Callable
from typing import NamedTuple

from catalog.capacities import parse_coating, parse_share
from catalog.errors import NotUnderstood, TirageError
from catalog.measures import parse_size
from catalog.quantities import parse_duration, parse_residue, parse_volume
from catalog.store.rows import fetch_all
from catalog.whole_numbers import whole_number

ALL = "SELECT name, value, basis, since FROM setting ORDER BY name"
VALUE = "SELECT value FROM setting WHERE name = ?"
ADD = "INSERT INTO setting (name, value, basis, since) VALUES (?, ?, ?, ?)"
LONGEST_SPAN = 100  # years that “vintage” can span: beyond a life the word says nothing
CHANGE = "UPDATE setting SET value = ?, basis = ?, since = ? WHERE name = ? RETURNING id"
BEGUN = "SELECT begun FROM catalog"

# name -> (value, basis). No published limit for paper is confirmed, so a target is the user's, and says so.
DEFAULTS = {
    "hypo-target": (
        "1.4 µg/cm²",
        "the studio's own target; the figure is the limit of 36 CFR 1238.14 for microfilm, and no limit for paper",
    ),
    "silver-target": ("", "none set: no published limit for silver left in paper is confirmed"),
    "vintage-years": ("5", "from memory; no standard fixes how many years"),
    "varnish-after": ("24 h", "common practice, no source: dry overnight, varnish the next day"),
    "cure-for": ("24 h", "common practice, no source: cure a full day before printing"),
    "wash-after-fix": ("5 min", "common practice, no source: several minutes of running water"),
    "iodine-for": ("35 s", "common practice, no source: 30 to 40 s"),
    "ultraviolet-for": ("35 s", "common practice, no source: about 30 to 40 s"),
    "wash-after-redevelopment": ("5 min", "common practice, no source"),
    "carried-over": ("30 ml", "the user's own figure: solution carried along with one print"),
    "usual-sheet": ("24x30cm", "the user's own figure: what a sheet without a known size counts as"),
    "strip-size": ("5x10cm", "the user's own figure: the size of a control strip"),
    "coated-silver": ("1.5 g/m²", "the user's own figure; practitioners name 0.54 to 1.61 g/m², no authority"),
    "undeveloped-share": ("70 %", "from memory, not confirmed: the share of the silver that fixing takes out"),
    "gold-rate": (
        "268.6 mg/m²",
        "an old handbook (Elementary Photography): a grain of gold chloride to a sheet of albumen paper, whose size, "
        "22 x 17 in, is assumed",
    ),
    "backups-kept": ("10", "common practice, no source: the newest ten; one a month for twelve months stays too"),
    "backup-after-days": ("30", "common practice, no source: how long work may be in no backup"),
    "density-tolerance": ("", "none set: no standard says how far prints of an edition may differ"),
}
DURATIONS = (
    "varnish-after",
    "cure-for",
    "wash-after-fix",
    "iodine-for",
    "ultraviolet-for",
    "wash-after-redevelopment",
)

MOST_COUNTED = 10_000  # of backups or days: more is a slip
LEAST_SHARE = 50  # thousandths: less is a slip (0.7 % for 70 %), and would make every fixer last for ever
LEAST_SIDE = 10_000  # micrometres of a sheet or strip: less is a slip, and would make every bath last for ever


def _parse_sheet(text: str) -> tuple[int, int]:
    size = parse_size(text)
    if min(size) < LEAST_SIDE:
        raise NotUnderstood("the size of a sheet", text, "sides of at least 1 cm, such as 24x30cm")
    return size


def _parse_undeveloped(text: str) -> int:
    share = parse_share(text)
    if share < LEAST_SHARE:
        raise NotUnderstood("the share of the silver that fixing takes out", text, "at least 5 %, such as 70 %")
    return share


def _parse_count(text: str) -> int:
    count = whole_number(text)
    if count is None or not 1 <= count <= MOST_COUNTED:
        raise NotUnderstood("a count", text, f"a whole number from 1 to {MOST_COUNTED}, such as 10")
    return count


PARSERS: dict[str, Callable[[str], object]] = {  # of what is reckoned with; nothing else is taken
    "carried-over": parse_volume,
    "usual-sheet": _parse_sheet,
    "strip-size": _parse_sheet,
    "coated-silver": parse_coating,
    "undeveloped-share": _parse_undeveloped,
    "backups-kept": _parse_count,
    "backup-after-days": _parse_count,
}


class UnknownSettingError(TirageError):
    """A setting that does not exist."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is no setting “{name}”; expected one of {', '.join(sorted(DEFAULTS))}.")


class Setting(NamedTuple):
    """One setting, with why it has its value."""

    name: str
    value: str
    basis: str
    since: str


def begin(connection: sqlite3.Connection, day: str) -> None:
    """Write the first value of every setting."""
    connection.executemany(ADD, [(name, value, basis, day) for name, (value, basis) in DEFAULTS.items()])


def settings(connection: sqlite3.Connection) -> list[Setting]:
    """Every setting, by name; one that is newer than the catalog stands at its first value since the catalog began."""
    kept = {setting.name: setting for setting in fetch_all(connection, Setting, ALL)}
    begun: str = connection.execute(BEGUN).fetchone()[0]
    first = {name: Setting(name, value, basis, begun) for name, (value, basis) in DEFAULTS.items()}
    return [setting for _, setting in sorted({**first, **kept}.items())]


def value(connection: sqlite3.Connection, name: str) -> str:
    """The text of one setting."""
    row = connection.execute(VALUE, (name,)).fetchone()
    return str(row[0]) if row else DEFAULTS[name][0]


def residue_target(connection: sqlite3.Connection, question: str) -> int | None:
    """The target for hypo or silver in nanograms a square centimetre, or None when none is set."""
    text = value(connection, f"{question}-target")
    return parse_residue(text) if text else None


def change(connection: sqlite3.Connection, name: str, text: str, basis: str, day: str) -> None:
    """Set a setting; the journal keeps the value before. A basis is required: whose figure is it?"""
    if name not in DEFAULTS:
        raise UnknownSettingError(name)
    if not basis:
        raise NotUnderstood("a basis", basis, "--basis TEXT: where this figure comes from, such as a handbook and page")
    if name.endswith("-target") and text:
        parse_residue(text)
    if name == "gold-rate" and text:
        try:
            none = not parse_residue(text)
        except NotUnderstood:
            none = True
        if none:
            raise NotUnderstood("a rate of gold", text, "gold chloride by area, such as 268.6 mg/m2")
    if name in DURATIONS:
        parse_duration(text)
    if name == "density-tolerance" and text:
        from catalog.records.densities import parse_tolerance  # only here: commands that only read do without

        parse_tolerance(text)
    if name in PARSERS:
        PARSERS[name](text)
    if name == "vintage-years" and ((years := whole_number(text)) is None or years > LONGEST_SPAN):
        raise NotUnderstood("a number of years", text, f"a whole number from 0 to {LONGEST_SPAN}, such as 5")
    if connection.execute(CHANGE, (text, basis, day, name)).fetchone() is None:  # newer than the catalog
        connection.execute(ADD, (name, text, basis, day))
