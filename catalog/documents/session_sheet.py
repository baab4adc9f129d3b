"""The sheet of a session for the sink: codes given beforehand, a line a load, tests, cautions."""

import sqlite3

from catalog.dates import parse_date
from catalog.documents import wording
from catalog.errors import TirageError
from catalog.records import papers, recipes, sessions
from catalog.records.sessions import Session
from catalog.rules.cautions import cautions_for
from catalog.rules.recipes import lines
from catalog.rules.sessions.stages import stages
from catalog.stops import format_stops, format_time
from catalog.vocabulary import READINGS
from labels.attachments import attach
from labels.errors import PaperError
from labels.session_sheet import Load, SessionSheetContent, session_sheet

USE = (
    "Pencil the code on the back before exposure. Tick what is kept; what is not ticked is void when this is entered. "
    "Tick each load that was done: no tick, or “-”, is not done. Which prints left blank: as in the line above; +N "
    "counts sheets without a code."
)
BLANK_LOADS = 3
BLANK_TESTS = 1


class SessionSheetError(TirageError):
    """A sheet that cannot be put on paper as it is."""

    def __init__(self, session: int, reason: str) -> None:
        super().__init__(f"The sheet of session {session} could not be drawn: {reason}")


def content(connection: sqlite3.Connection, session: Session) -> SessionSheetContent:
    """What the sheet says: the codes of the session, and the baths that are in the trays now."""
    sheets = sessions.sheets(connection, session)
    ways = stages(connection)
    strips = [sheet.code for sheet in sheets if sheet.kind == "control strip"]
    loads = [Load(way.name.capitalize(), way.bath, way.bath_text) for way in ways]
    paper = papers.read(connection, session.paper).name if session.paper else ""
    return SessionSheetContent(
        kind=f"Session {session.id}",
        title=session.title,
        subtitle=wording.joined([session.of.code, paper, parse_date(session.planned).text()]),
        lines=(USE, *_recipe(connection, session)),
        codes=tuple((sheet.code, "strip" if sheet.kind == "control strip" else "") for sheet in sheets),
        loads=(*loads, *[Load("")] * BLANK_LOADS),
        tests=(*strips, *[""] * BLANK_TESTS),
        readings=READINGS,
        cautions=tuple(cautions_for([(way.kind, way.bath_text) for way in ways if way.bath])),
        foot=f"Afterwards: tirage session enter {session.id}",
    )


def drawn(connection: sqlite3.Connection, session: Session, page: str) -> bytes:
    """The sheet as a PDF. Raises SessionSheetError."""
    try:
        said = content(connection, session)
        return attach(session_sheet(said, page), {}, title(session))
    except PaperError as problem:
        raise SessionSheetError(session.id, problem.sentence) from None


def title(session: Session) -> str:
    """What the document calls itself."""
    return f"Session {session.id} sheet"


def _recipe(connection: sqlite3.Connection, session: Session) -> list[str]:
    """The exposures of the recipe, as recorded, in one line; none where there is no recipe of this thing alone."""
    try:
        recipe = recipes.of(connection, session.of)[0]
    except (recipes.NoRecipeError, recipes.SeveralRecipesError):
        return []
    told = []
    for line in lines(recipes.exposures_of(connection, recipe)):
        parts = [f"{part.area} {format_stops(part.stops)} ({format_time(part.milliseconds)})" for part in line.parts]
        told.append(", ".join([f"{line.filter} {format_time(line.milliseconds)}".strip(), *parts]))
    mind = " The recipe is for another paper." if recipe.paper and recipe.paper != session.paper else ""
    return [f"Recipe: {'; '.join(told)}.{mind}"]
