"""The trial sheet: the work prints of one negative, laid side by side so that one of them becomes the reference."""

import sqlite3
from contextlib import suppress
from pathlib import Path

from catalog import codes
from catalog.dates import parse_date
from catalog.errors import TirageError
from catalog.records import densities, negatives, papers, pictures, prints, recipes
from catalog.records.prints import Print
from catalog.records.steps import histories
from catalog.rules.evidence import evidence_many
from catalog.rules.recipes import Line, dry_downs, lines
from catalog.rules.toning import toning_of
from catalog.stops import format_density, format_stops, format_time
from labels.attachments import attach
from labels.errors import PaperError
from labels.trial_sheet import TrialColumn, TrialContent, trial_sheet

KIND = "Trial prints"
NOTE = "Tick the one that the others shall look like, and type the line below it."
SHOWN_AS = (".jpg", ".jpeg", ".png")
STANDING = {"reference": ", the reference", "BAT": ", the bon à tirer"}


class TrialsNotDrawnError(TirageError):
    """A trial sheet that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"The trial sheet of {code} could not be drawn: {reason}")


def trials(connection: sqlite3.Connection, negative: int, folder: Path) -> TrialContent:
    """Everything the sheet says of a negative's living work prints and the chosen one; pictures are in `folder`."""
    plate = negatives.read(connection, negative)
    found = [
        one for one in prints.listed(connection, negative=negative, state="living") if one.is_trial or one.kind == "BAT"
    ]
    steps, proofs = (
        histories(connection, [one.id for one in found]),
        evidence_many(connection, [one.id for one in found]),
    )
    exposed = _exposed(connection, negative)
    columns = []
    for one in found:
        read = densities.of_item(connection, one.id)
        facts = {
            "Made": parse_date(one.made).text() + STANDING.get(one.kind or "", ""),
            "Paper": papers.read(connection, one.paper).description if one.paper else "",
            "Exposure": exposed.get(one.id, ""),
            "Note": one.note,
            "Toning": toning_of(steps.get(one.id, ())),
            "Density wet": _told(densities.newest(read, "wet")),
            "Density dry": _told(densities.newest(read, "dry")),
            "Dry-down": _told(dry_downs(read)),
            "Evidence": proofs[one.id].grade,
        }
        columns.append(TrialColumn(one.code, tuple(facts.items()), _choose(one), _picture(connection, one.id, folder)))
    named = [name for name in (facts if found else ()) if any(dict(column.facts)[name] for column in columns)]
    told = [name for name in (facts if found else ()) if name in named or name == "Exposure"]  # it may be written in
    return TrialContent(
        kind=f"{KIND} {plate.code}",
        title=plate.title,
        subtitle=", ".join(filter(None, (plate.process, parse_date(plate.made).text() if plate.made else ""))),
        trials=tuple(_without(column, told) for column in columns),
        note=NOTE,
        footer="Studio paper: notes on it are private",
    )


def row(one: TrialColumn) -> dict[str, object]:
    """One work print as it is listed on the screen."""
    return {"code": one.code, **{name.lower(): value for name, value in one.facts}}


def drawn(content: TrialContent, page: str) -> bytes:
    """The sheet's PDF. Raises TrialsNotDrawnError."""
    try:
        return attach(trial_sheet(content, page), {}, content.kind, "", "en")
    except PaperError as problem:
        raise TrialsNotDrawnError(content.kind.removeprefix(f"{KIND} "), problem.sentence) from None


def _without(column: TrialColumn, told: list[str]) -> TrialColumn:
    """A column without the facts that none of them has."""
    facts = tuple((name, value) for name, value in column.facts if name in told)
    return TrialColumn(column.code, facts, column.choose, column.picture)


def _choose(one: Print) -> str:
    if one.kind == "BAT":
        return "signed as bon à tirer"
    ours = codes.AUTOMATIC.fullmatch(one.code)
    return f"tirage print designate {int(ours[2]) if ours else one.code} reference"


def _exposed(connection: sqlite3.Connection, negative: int) -> dict[int, str]:
    """The exposures of each print that has a recipe with what was held back or burned in, the newest one counting."""
    found = {}
    for recipe in reversed(recipes.of_negative(connection, negative)):
        if recipe.print:
            told = lines(recipes.exposures_of(connection, recipe))
            found[recipe.print] = ", ".join(map(_exposure, told))
    return found


def _exposure(line: Line) -> str:
    """“hard 6 s (sky +1/2)”."""
    parts = ", ".join(f"{part.area} {format_stops(part.stops)}" for part in line.parts)
    return f"{line.filter} {format_time(line.milliseconds)}".strip() + (f" ({parts})" if parts else "")


def _told(values: dict[str, int]) -> str:
    return ", ".join(f"{patch} {format_density(value)}" for patch, value in values.items())


def _picture(connection: sqlite3.Connection, item: int, folder: Path) -> bytes | None:
    """The first picture of a print, where its file is there and of a form that is drawn. Raises OutsideError."""
    for picture in pictures.of_item(connection, item):
        if Path(picture.path).suffix.lower() in SHOWN_AS:
            with suppress(FileNotFoundError), pictures.open_master(folder, picture.path) as file:
                return file.read()
    return None
