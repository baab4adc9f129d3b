"""Recipes: how an approved print was exposed and developed, so that the next one can be made like it."""

import re
import sqlite3
from collections.abc import Sequence
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import prints
from catalog.records.items import Coded, code_of
from catalog.records.made import check_made
from catalog.stops import parse_stops, parse_time
from catalog.store.rows import fetch_all

COLUMNS = """id, negative, edition, print, paper, speed, developer, develop_seconds, celsius, lamp, distance,
    illuminance, image_height, image_width, dry_down, toning, happened, earliest, latest, clock, by, note"""
READ = f"SELECT {COLUMNS} FROM recipe"
NEWEST_FIRST = "ORDER BY coalesce(nullif(earliest, ''), latest) DESC, id DESC"
ADD = f"""INSERT INTO recipe ({COLUMNS.removeprefix("id, ")})
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_EXPOSURE = """INSERT INTO recipe_exposure (recipe, position, kind, filter, milliseconds, stops, area, speed)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
EXPOSURES = """SELECT kind, filter, milliseconds, stops, area, speed FROM recipe_exposure WHERE recipe = ?
    ORDER BY position"""
STOPS_AT_END = re.compile(
    r"(?s)(.*?)\s*([+−-]?\s*(?:(?:\d+\s+)?\d+/\d+|\d+(?:\.\d+)?|\d*\s*[½¼¾⅛⅜⅝⅞⅓⅔])\s*(?:stops?)?)", re.ASCII
)
UNITS = r"(?:h|hrs?|hours?|m|mins?|minutes?|s|secs?|seconds?)"
TIME_AT_END = re.compile(rf"(?s)(.*?)\s*(\d[\d.]*\s*{UNITS}(?:\s*\d[\d.]*\s*{UNITS})*|\d+:\d\d)", re.I | re.ASCII)


class NoRecipeError(TirageError):
    """Nothing recorded of how a thing is printed."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"No recipe is recorded for {code}; expected the exposures of an approved print. Record them: "
            f"tirage recipe record PRINT --expose 'soft 10s'."
        )


class SeveralRecipesError(TirageError):
    """A negative whose editions each have a recipe."""

    def __init__(self, code: str, editions: Sequence[str]) -> None:
        super().__init__(f"{code} has recipes for {' and '.join(editions)}; expected one. Name the edition.")


class NoExposureError(TirageError):
    """A recipe without a base exposure."""

    def __init__(self) -> None:
        super().__init__("A recipe needs the exposure it starts from; say it with --expose 10s or --expose 'soft 10s'.")


class WhichExposureError(TirageError):
    """A part held back or burned in, of an exposure that is not there or not named."""

    def __init__(self, text: str, filters: Sequence[str]) -> None:
        names = " or ".join(f"“{name}”" if name else "the one without a filter" for name in filters)
        super().__init__(
            f"“{text}” does not say of which exposure; expected {names} in it, such as “sky {filters[-1]} +1/2”."
        )


class Exposure(NamedTuple):
    """One line of a recipe: a base time in milliseconds, or an area dodged or burned by thousandths of a stop."""

    kind: str  # base, dodge, burn
    filter: str
    milliseconds: int | None
    stops: int | None
    area: str
    speed: int | None  # thousandths, of the paper through this filter


class Recipe(NamedTuple):
    """How one approved print was made. Lengths in micrometres, speed, light and dry-down in thousandths."""

    id: int
    negative: int
    edition: int | None
    print: int | None
    paper: int | None
    speed: int | None
    developer: str
    develop_seconds: int | None
    celsius: int | None
    lamp: str
    distance: int | None
    illuminance: int | None
    image_height: int | None
    image_width: int | None
    dry_down: int | None
    toning: str
    happened: str
    earliest: str
    latest: str
    clock: str
    by: str
    note: str


class Conditions(NamedTuple):
    """What was the same for all exposures of a print, as far as it is told; units as in Recipe."""

    speed: int | None = None
    developer: str = ""
    develop_seconds: int | None = None
    celsius: int | None = None
    lamp: str = ""
    distance: int | None = None
    illuminance: int | None = None
    dry_down: int | None = None
    toning: str = ""


def record(
    connection: sqlite3.Connection, event: Event, approved: Coded, exposures: Sequence[Exposure], told: Conditions
) -> Recipe:
    """Record how an approved print was made; paper, image size and edition are the print's.

    Raises NoExposureError, BeforeItWasMadeError.
    """
    check_made(connection, approved, event.moment, "recipe")
    if not any(exposure.kind == "base" for exposure in exposures):
        raise NoExposureError
    one = prints.read(connection, approved.id)
    image = prints.image_size(connection, one) or (None, None)
    values = (one.negative, one.edition, one.id, one.paper, *told[:7], *image, *told[7:])
    cursor = connection.execute(ADD, (*values, *event.columns, event.by, event.note))
    identity = int(cursor.lastrowid or 0)
    connection.executemany(
        ADD_EXPOSURE, [(identity, place, *exposure) for place, exposure in enumerate(exposures, start=1)]
    )
    return fetch_all(connection, Recipe, f"{READ} WHERE id = ?", (identity,))[0]


def exposures_of(connection: sqlite3.Connection, recipe: Recipe) -> list[Exposure]:
    """The exposures of a recipe, each base before what is held back or given more of it."""
    return fetch_all(connection, Exposure, EXPOSURES, (recipe.id,))


def listed(connection: sqlite3.Connection) -> list[Recipe]:
    """Every recipe, the newest first."""
    return fetch_all(connection, Recipe, f"{READ} {NEWEST_FIRST}")


def of_negative(connection: sqlite3.Connection, negative: int) -> list[Recipe]:
    """The recipes for one negative and its editions, the newest first."""
    return fetch_all(connection, Recipe, f"{READ} WHERE negative = ? {NEWEST_FIRST}", (negative,))


def of(connection: sqlite3.Connection, thing: Coded) -> list[Recipe]:
    """The recipes for an edition, negative or print, the newest by its date first: that one is in use.

    An edition without one has its negative's, from before it was declared, as if it were its own; a negative without
    one of its own has that of its only edition. Raises NoRecipeError, SeveralRecipesError.
    """
    negative, edition = thing.id, None
    if thing.kind != "negative":
        table = "print" if thing.kind == "print" else "edition"
        chosen = "negative, edition" if table == "print" else "negative, id"
        negative, edition = connection.execute(f"SELECT {chosen} FROM {table} WHERE id = ?", (thing.id,)).fetchone()
    every = of_negative(connection, negative)
    found = [one for one in every if one.edition == edition] or [one for one in every if one.edition is None]
    editions = sorted({one.edition for one in every if one.edition is not None})
    if not found and edition is None and editions:
        if len(editions) > 1:
            raise SeveralRecipesError(thing.code, [code_of(connection, one) for one in editions])
        found = every
    if not found:
        raise NoRecipeError(thing.code)
    return [one._replace(edition=one.edition or edition) for one in found]


def parse_exposures(
    bases: Sequence[str], dodges: Sequence[str], burns: Sequence[str], speeds: dict[str, int]
) -> list[Exposure]:
    """Exposures as typed: “soft 10s”, a dodge “face soft -1/3”, a burn “sky hard +1/2”.

    Each base is followed by its dodges and burns. Raises NotUnderstood, WhichExposureError, NoExposureError.
    """
    found = [_base(text, speeds) for text in bases]
    if not found:
        raise NoExposureError
    names = [base.filter for base in found]
    if len(set(names)) != len(names):
        raise NotUnderstood("an exposure through each filter", ", ".join(bases), "a name of its own for each")
    if unknown := [name for name in speeds if name and name not in names]:
        raise NotUnderstood("a filter of this recipe", unknown[0], f"one of {', '.join(filter(None, names)) or 'none'}")
    parts = [_part("dodge", text, names) for text in dodges] + [_part("burn", text, names) for text in burns]
    return [line for base in found for line in (base, *(part for part in parts if part.filter == base.filter))]


def _base(text: str, speeds: dict[str, int]) -> Exposure:
    found = TIME_AT_END.fullmatch(text.strip())
    if not found:
        raise NotUnderstood("an exposure", text, "a filter or grade and a time, such as “soft 10s”, or a time alone")
    name = _plain(found[1])
    return Exposure("base", name, parse_time(found[2]), None, "", speeds.get(name))


def _part(kind: str, text: str, filters: Sequence[str]) -> Exposure:
    found = STOPS_AT_END.fullmatch(text.strip())
    sign, example = ("-", "face soft -1/3") if kind == "dodge" else ("+", "sky hard +1/2")
    if not found:
        raise NotUnderstood(f"a {kind}", text, f"where, of which exposure, and how many stops, such as “{example}”")
    stops = parse_stops(found[2])
    if found[2].lstrip()[0] in "+-−" and (stops < 0) != (sign == "-"):
        raise NotUnderstood(f"a {kind}", text, f"stops with {sign} or no sign; the other way it is a burn or a dodge")
    words = _plain(found[1])
    through, area = _parted(words, filters, text)
    if not area:
        raise NotUnderstood(f"a {kind}", text, f"where on the print too, such as “{example}”")
    return Exposure(kind, through, None, abs(stops), area, None)


def _parted(words: str, filters: Sequence[str], text: str) -> tuple[str, str]:
    """The filter that is named at either end of some words, and the area, which is the rest."""
    for name in sorted(filter(None, filters), key=len, reverse=True):
        if words == name or words.endswith(f" {name}"):
            return name, words[: -len(name)].strip()
        if words.startswith(f"{name} "):
            return name, words[len(name) :].strip()
    if len(filters) > 1:
        raise WhichExposureError(text, filters)
    return filters[0], words


def _plain(text: str) -> str:
    return " ".join(text.split())
