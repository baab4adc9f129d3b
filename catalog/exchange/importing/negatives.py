"""Negatives out of a table."""

from collections import Counter
from collections.abc import Mapping, Sequence
from typing import NamedTuple

from catalog.dates import Moment
from catalog.exchange.free_text.near_processes import likely_process
from catalog.exchange.free_text.processes import ProcessReading
from catalog.exchange.importing.cells import (
    choice_in,
    date_in,
    length_in,
    mind_life,
    process_in,
    size_in,
    weight_in,
)
from catalog.exchange.importing.frame import Field, Importer, Importing, Row
from catalog.exchange.importing.headings import CREATION_DATES, DATE_TEXTS
from catalog.exchange.importing.own_codes import own_code_in
from catalog.exchange.importing.places import Standing, Standings
from catalog.exchange.importing.sides import measured_in, mind_sides, sides_in
from catalog.measures import format_size
from catalog.records import catalogs, imports, items, negatives
from catalog.records.negatives import LONGEST_TITLE, UNDATED, NewNegative
from catalog.vocabulary import GONE_STATES, NEGATIVE_STATES

AWAY = ("destroyed", "lost", "deposited")  # such a plate stands nowhere in the studio
ENDED = (*GONE_STATES, *AWAY)  # came later than the plate, on a day that the table does not tell
STATES = {word: word for word in NEGATIVE_STATES} | {
    "intact": "ready", "whole": "ready", "intacte": "ready", "intakt": "ready", "ganz": "ready",
    "unvarnished": "drying", "not varnished": "drying", "non verni": "drying", "unlackiert": "drying",
    "verni": "varnished", "vernie": "varnished", "lackiert": "varnished", "gefirnisst": "varnished",
    "cassé": "broken", "cassée": "broken", "brisé": "broken", "brisée": "broken", "zerbrochen": "broken",
    "gebrochen": "broken", "détruit": "destroyed", "détruite": "destroyed", "zerstört": "destroyed",
    "vernichtet": "destroyed", "perdu": "lost", "perdue": "lost", "missing": "lost", "manquant": "lost",
    "verloren": "lost", "verschollen": "lost", "fehlt": "lost", "annulé": "cancelled", "biffé": "cancelled",
    "struck": "cancelled", "canceled": "cancelled", "entwertet": "cancelled", "on deposit": "deposited",
    "en dépôt": "deposited", "hinterlegt": "deposited", "deponiert": "deposited",
}  # fmt: skip


MOST_NAMED = 5  # processes, in one sentence


class Draft(NamedTuple):
    """A negative that was read, and where it stands."""

    new: NewNegative
    place: Standing | None


class Negatives(Importer[Draft]):
    """Reads plates and films; adds them all at once."""

    noun = "negatives"
    one = "negative"
    needed = ("title", "code", "description")
    dates = ("made",)
    apart = ("code",)
    fields = (
        Field("code", "your own code of it; without one the next N-number is given",
              ("number", "no", "nr", "num", "numéro", "nummer", "id", "inventory number", "inventory no", "inv no",
               "inv", "plate number", "plate no", "negative number", "negative no", "neg no", "neg number",
               "accession", "accession number", "accession no", "accessionnum", "object number", "object no",
               "numéro d'inventaire", "n° d'inventaire", "n° inv", "cote", "n°", "inventarnummer", "inv nr",
               "plattennummer", "negativnummer", "neg nr", "signatur", "own code", "reference", "ref")),
        Field("title", "its title",
              ("name", "subject", "titre", "sujet", "titel", "bezeichnung", "motiv", "bildtitel")),
        Field("series", "the body of work it belongs to",
              ("serie", "série", "project", "projet", "projekt", "body of work", "portfolio", "werkgruppe", "group")),
        Field("made", "when it was made: 2026-03-02, c. 1950, spring 1998",
              ("date", "year", "taken", "date made", "date taken", "date of negative", "negative date", "exposed",
               "date of exposure", "dated", "datum", "jahr", "aufgenommen", "aufnahmedatum", "datierung",
               "entstanden", "année", "date de prise de vue", "prise de vue", "réalisé", "created", "when",
               *DATE_TEXTS, *CREATION_DATES)),
        Field("where", "where it was made",
              ("place made", "place taken", "where made", "made at", "site", "lieu", "lieu de prise de vue",
               "aufnahmeort", "ort", "entstehungsort", "view of", "locality", "geography")),
        Field("process", "how: wet collodion, gelatin dry plate",
              ("technique", "medium", "procédé", "technik", "verfahren", "prozess", "kind", "type", "typ", "art")),
        Field("support", "on what: glass, film",
              ("base", "material", "matériau", "träger", "schichtträger", "carrier")),
        Field("size", "height x width: 20x25cm, whole plate",
              ("format", "dimension", "measurement", "plate size", "taille", "größe", "maß", "plattenformat",
               "plattengröße", "b x h", "h x b", "w x h", "h x w", "l x h", "h x l", "height x width",
               "width x height", "höhe x breite", "breite x höhe", "hauteur x largeur", "largeur x hauteur")),
        Field("height", "its height, where width has a column of its own", ("hauteur", "höhe")),
        Field("width", "its width", ("largeur", "breite")),
        Field("thickness", "of the glass, in mm where no unit is told",
              ("glass thickness", "épaisseur", "dicke", "stärke", "glasdicke", "glasstärke")),
        Field("weight", "as weighed, in g where no unit is told", ("poids", "gewicht")),
        Field("mark", "what is scratched or written on the plate",
              ("inscription", "inscribed", "marking", "marque", "beschriftung", "aufschrift", "on plate",
               "mark on the plate")),
        Field("description", "words that may be published",
              ("caption", "content", "légende", "beschreibung", "bildbeschreibung", "bildlegende")),
        Field("note", "a private remark",
              ("remark", "comment", "remarque", "commentaire", "observation", "bemerkung", "anmerkung", "notiz",
               "kommentar")),
        Field("place", "where it stands: studio/rack 2/shelf 1; a new place is added",
              ("location", "storage", "storage location", "shelf", "box", "rack", "kept at", "kept in", "where kept",
               "emplacement", "rangement", "boîte", "étagère", "standort", "lagerort", "kasten", "schachtel",
               "karton", "regal", "lagerung")),
        Field("state", "ready, varnished, drying, retired, broken, lost ...; ready where nothing is told",
              ("status", "condition", "état", "zustand", "statut")),
    )  # fmt: skip

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.places = Standings(work)
        self.artist = catalogs.artist(work.connection)
        self.taken: dict[str, int] = {}  # own codes of this file -> their row
        self.now = work.event.moment.latest
        self.ready = 0
        self.as_written: Counter[str] = Counter()  # processes not known here -> rows
        self.misspelled: dict[str, str] = {}  # processes as written -> as likely meant

    def read(self, row: Row) -> Draft | None:
        """A negative; refused are codes that are taken, and dates that have not come."""
        get, options = row.get, self.work.options
        code = self._code(row) if get("code") else None
        if row.refused:
            return None
        made = date_in(row, "made", options, today=self.now) or UNDATED if get("made") else UNDATED
        mind_life(row, "made", made, self.artist, options)
        process = process_in(row, "process", options, of="negative") if get("process") else None
        support = get("support") and self._support(row)
        state = choice_in(row, "state", STATES, "ready") if get("state") else "ready"
        place = self.places.read(row, "place") if get("place") else None
        if place is not None and state in AWAY:
            row.keep("place", f"it is {state}, so it was put in no place")
            place = None
        if row.refused:
            return None
        if not get("state"):
            self.ready += 1
        if process is not None:
            self._mind_process(process, get("process"))
        new = NewNegative(
            title=get("title") and self._title(row) or self._untitled(row),
            own_code=code,
            series=get("series"),
            made=made,
            made_where=get("where"),
            process=process.process if process else "",
            support=support or (process.support if process else ""),
            size=self._size(row),
            thickness=length_in(row, "thickness", options) if get("thickness") else None,
            weight=weight_in(row, "weight", options) if get("weight") else None,
            mark=get("mark"),
            description=get("description"),
            note=get("note"),
            state=state,
            moment=Moment(made.edtf, made.earliest, made.latest, "") if made.edtf and state not in ENDED else None,
        )
        return Draft(new, place)

    def add(self, read: Sequence[tuple[Row, Draft]]) -> None:
        """Add them all at once, then put them where they stand."""
        things = negatives.add_many(self.work.connection, self.work.event, [draft.new for _, draft in read])
        for (row, _), thing in zip(read, things, strict=True):
            row.thing, row.code = thing.id, thing.code
        self.places.put((thing, draft.place) for (_, draft), thing in zip(read, things, strict=True) if draft.place)

    def add_one(self, row: Row, draft: Draft) -> tuple[int, str]:
        """One negative."""
        thing = negatives.add_many(self.work.connection, self.work.event, [draft.new])[0]
        return thing.id, thing.code

    def called(self, values: Mapping[str, str]) -> tuple[str, ...]:
        """Its title and its date, where it has both."""
        title, made = values.get("title", ""), values.get("made", "")
        return (title, made) if title and made else ()

    def preview(self, draft: Draft) -> dict[str, str]:
        """How it was read."""
        new, (height, width) = draft.new, draft.new.size
        return {
            "title": new.title,
            "made": new.made.text() if new.made.edtf else "",
            "process": new.process,
            "size": format_size(height, width) if height and width else "",
            "state": new.state,
            "place": draft.place.path if draft.place else "",
        }

    def said(self) -> list[str]:
        """What was taken where the table says nothing."""
        ready = f"{self.ready:,} without a state were taken as ready." if self.ready else ""
        return [*filter(None, [ready, self._processes()]), *self.places.said()]

    def near(self) -> dict[str, dict[str, str]]:
        """Processes that are likely others misspelled."""
        return {"processes": self.misspelled} if self.misspelled else {}

    def _processes(self) -> str:
        """Which processes stand as written, the commonest first."""
        if not self.as_written:
            return ""
        count, kinds = self.as_written.total(), len(self.as_written)
        named = ", ".join(f"“{text}”" for text, _ in self.as_written.most_common(MOST_NAMED))
        more = f" and {kinds - MOST_NAMED:,} more" if kinds > MOST_NAMED else ""
        rows = f"The process of {count:,} {'row' if count == 1 else 'rows'}"
        return (
            f"{rows} is not known here and stands as written: {named}{more}. That is no fault; to call one by another "
            f"word, put it under [processes] in the mapping file."
        )

    def _code(self, row: Row) -> str | None:
        code = own_code_in(row, "code")
        if code is None:
            return None
        before = self.taken.setdefault(code.lower(), row.line)
        if before != row.line:
            row.refuse("code", f"row {before} has this code already; give one of the two another")
            return None
        found = self.work.connection.execute("SELECT id, kind FROM code WHERE code = ?", (code,)).fetchone()
        if found and items.taken_back(self.work.connection, code, "negative") is None:
            row.refuse("code", self._taken(row, code, *found))
            return None
        return code

    def _taken(self, row: Row, code: str, identity: int, kind: str) -> str:
        connection = self.work.connection
        title = connection.execute("SELECT title FROM negative WHERE id = ?", (identity,)).fetchone()
        for earlier in imports.rows_of(connection, "negatives", identity):
            if earlier.cells == row.cells:
                return (
                    f"row {earlier.line} of {earlier.file} was imported before as {code} with the same cells; leave "
                    f"this row out, or give it another code"
                )
            return (
                f"row {earlier.line} of {earlier.file} was imported before as {code} with other cells; mend {code} "
                f"with tirage correct and leave this row out, or give it another code"
            )
        return f"{kind} {code}{f' (“{title[0]}”)' if title else ''} has this code already; give it another"

    def _title(self, row: Row) -> str:
        title = row.get("title")
        if len(title) <= LONGEST_TITLE:
            return title
        row.keep("title", f"longer than {LONGEST_TITLE} signs; its beginning is the title")
        return title[: LONGEST_TITLE - 1] + "…"

    def _untitled(self, row: Row) -> str:
        row.doubt("title", "it has no title; called “Untitled”")
        return "Untitled"

    def _support(self, row: Row) -> str:
        from catalog.exchange.free_text.processes import read_process

        return read_process(row.get("support")).support or row.get("support")

    def _size(self, row: Row) -> tuple[int | None, int | None]:
        options = self.work.options
        found = size_in(row, "size", options) if row.get("size") else None
        if found is None or not (found.height and found.width):
            return sides_in(row, options)
        if found.more:
            row.keep("size", "it tells several sizes; the first is that of the negative")
        size = found.height, found.width
        if measured := measured_in(row, "size", options, size):
            return measured
        mind_sides(row, "size", options, size)
        return size

    def _mind_process(self, process: ProcessReading, text: str) -> None:
        """Count what stands as written, and remember what is likely misspelled."""
        if process.why_not:
            self.as_written[process.process] += 1
        elif process.process == text and (likely := likely_process(text)):
            self.misspelled[text] = likely
