"""Places out of a table, and where the things of other tables stand."""

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.exchange.importing.cells import choice_in
from catalog.exchange.importing.frame import Field, Importer, Importing, Row
from catalog.records import places
from catalog.records.items import Coded
from catalog.records.places import Place, UnknownPlaceError
from catalog.vocabulary import PLACE_KINDS

PARTED = re.compile(r"\s*(?:/|>|»|→|\\)\s*")
TOLD_AT_MOST = 8
ALONE = "SELECT 1 FROM place WHERE parent IS NULL AND name = ? COLLATE NOCASE"
KINDS = {word: word for word in PLACE_KINDS} | {
    "bâtiment": "building", "immeuble": "building", "gebäude": "building", "haus": "building", "house": "building",
    "pièce": "room", "salle": "room", "raum": "room", "zimmer": "room", "rayonnage": "rack", "gestell": "rack",
    "armoire": "cabinet", "schrank": "cabinet", "cupboard": "cabinet", "étagère": "shelf", "tablette": "shelf",
    "regal": "rack", "fach": "shelf", "regalboden": "shelf", "tiroir": "drawer", "schublade": "drawer",
    "boîte": "box", "carton": "box", "schachtel": "box", "kasten": "box", "karton": "box", "case": "slot",
    "fente": "slot", "schlitz": "slot",
}  # fmt: skip


class Standing(NamedTuple):
    """Where a thing stands: the path as it will be, and the place where it is there already."""

    path: str
    place: Place | None


class Standings:
    """Paths in a column, each looked up once; those that are new are added with the things that stand there."""

    def __init__(self, work: Importing) -> None:
        self.work = work
        self.found: dict[str, Standing | TirageError] = {}
        self.new: dict[str, str] = {}

    def read(self, row: Row, field: str) -> Standing | None:
        """The place in a cell; None where it is empty or no path, which is kept as note."""
        text = row.get(field)
        if not text:
            return None
        found = self.found.get(text)
        if found is None:
            found = self.found[text] = self._find(text)
        if isinstance(found, TirageError):
            row.keep(field, found.sentence)
            return None
        return found

    def put(self, things: Iterable[tuple[Coded, Standing | None]]) -> None:
        """Put new things where they stand; places that were not there are added."""
        connection = self.work.connection
        made: dict[str, Place] = {}

        def standing() -> Iterable[tuple[Coded, Place]]:
            for thing, at in things:
                if at is not None:
                    place = at.place or made.get(at.path)
                    if place is None:
                        place = made[at.path] = places.add(connection, at.path)[0]
                        self.new[at.path] = places.path_of(connection, place.id)
                    yield thing, place

        places.put_new(connection, self.work.event, list(standing()))

    def said(self) -> list[str]:
        """Which places were new."""
        names = list(self.new.values())
        if not names:
            return []
        told = ", ".join(f"“{name}”" for name in names[:TOLD_AT_MOST])
        more = f" and {len(names) - TOLD_AT_MOST:,} more" if len(names) > TOLD_AT_MOST else ""
        return [
            f"New places: {told}{more}. Two spellings of one place are set right under [places] in the mapping file."
        ]

    def _find(self, text: str) -> Standing | TirageError:
        path = path_in(self.work.options.meant("places", text))
        try:
            return Standing(path, places.at(self.work.connection, path))
        except UnknownPlaceError:
            return Standing(path, None)
        except NotUnderstood as refusal:
            return refusal


class Draft(NamedTuple):
    """A place that was read."""

    path: str
    kind: str
    note: str
    parent: str  # the part of the path that its own column said, "" where none did


class Places(Importer[Draft]):
    """Reads places by their whole path, or by a name and what it is in."""

    noun = "places"
    one = "place"
    needed = ("path", "name")
    fields = (
        Field("path", "the whole path: studio/rack 2/shelf 1",
              ("place", "location", "emplacement", "lieu", "ort", "standort", "lagerort", "pfad", "chemin",
               "full name")),
        Field("name", "its own name, where it is in another place that has a column of its own",
              ("nom", "bezeichnung", "title")),
        Field("parent", "the place it is in, by its path or a name that only one has",
              ("in", "inside", "within", "is in", "dans", "contenu dans", "steht in", "übergeordnet", "parent place")),
        Field("kind", "building, room, rack, cabinet, shelf, drawer, box or slot", ("type", "sorte", "genre", "art")),
        Field("note", "a remark", ("remark", "comment", "remarque", "commentaire", "bemerkung", "anmerkung", "notiz")),
    )  # fmt: skip

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.parents: dict[str, dict[str, str]] = {}  # a name of this file -> what its rows say it is in, in any case
        self.whole: dict[str, str] = {}  # a parent as written -> its whole path
        self.paths: dict[Draft, str] = {}

    def read(self, row: Row) -> Draft | None:
        """A place; one that is there already is refused, for a second of one path is none."""
        options = self.work.options
        name = path_in(row.get("path") or row.get("name"))
        parent = path_in(options.meant("places", row.get("parent")))
        if not name:
            row.refuse("", "it names no place; expected a path such as studio/rack 2/shelf 1")
            return None
        path = options.meant("places", f"{parent}/{name}" if parent else name)
        try:
            path = "/".join(places.parts(path))
        except NotUnderstood as refusal:
            row.refuse("path" if row.get("path") else "name", refusal.sentence)
            return None
        inside = path.rpartition("/")[0] if parent and "/" not in name else ""
        return Draft(path, choice_in(row, "kind", KINDS, ""), row.get("note"), inside)

    def add(self, read: Sequence[tuple[Row, Draft]]) -> None:
        """Find what each is in, among this file and the places that are there; then add them, the outer ones first."""
        for _, draft in read:
            above = self.parents.setdefault(draft.path.rpartition("/")[2].casefold(), {})
            above.setdefault(draft.parent.casefold(), draft.parent)
        for row, draft in read:
            self.paths[draft] = draft.path
            if draft.parent:
                try:
                    self.whole[draft.parent] = self._whole(draft.parent, frozenset())
                    self.paths[draft] = f"{self.whole[draft.parent]}/{draft.path.rpartition('/')[2]}"
                except NotUnderstood as refusal:
                    row.refuse("parent", refusal.sentence)
        inner = [one for one in read if not one[0].refused]
        super().add(sorted(inner, key=lambda one: self.paths[one[1]].count("/")))

    def said(self) -> list[str]:
        """What was taken for which place."""
        told = [f"“{written}” for “{whole}”" for written, whole in self.whole.items() if written != whole]
        more = f" and {len(told) - TOLD_AT_MOST:,} more" if len(told) > TOLD_AT_MOST else ""
        return [f"By their names were taken {', '.join(told[:TOLD_AT_MOST])}{more}."] if told else []

    def _whole(self, path: str, seen: frozenset[str]) -> str:
        """The whole path of a place that may be told from the middle of the tree. Raises NotUnderstood."""
        top = path.partition("/")[0].casefold()
        above = self.parents.get(top, {})
        if len(above) > 1:
            raise NotUnderstood("one place", path, "its whole path, for several places of this list are called so")
        parent = next(iter(above.values()), None)
        if parent is not None:
            return f"{self._whole(parent, seen | {top})}/{path}" if parent and top not in seen else path
        try:
            return places.path_of(self.work.connection, places.at(self.work.connection, path).id)
        except UnknownPlaceError:
            return path

    def add_one(self, row: Row, draft: Draft) -> tuple[int, str]:
        """Add a place with what is missing above it."""
        connection = self.work.connection
        place, new = places.add(connection, self.paths[draft], draft.kind, draft.note)
        path = places.path_of(connection, place.id)
        if not new:
            row.merged = True
            self._there(row, draft, place)
        elif "/" in path and connection.execute(ALONE, (place.name,)).fetchone():
            row.doubt("path" if row.get("path") else "name", f"a “{place.name}” that is in no other is there too")
        return place.id, path

    def preview(self, draft: Draft) -> dict[str, str]:
        """How it was read."""
        return {"place": self.paths[draft], "kind": draft.kind}

    def _there(self, row: Row, draft: Draft, place: Place) -> None:
        """What a row says of a place that was there already, beside its path."""
        field = "path" if row.get("path") else "name"
        row.doubt(field, "this place is there already; it is left as it is")
        if draft.kind and draft.kind != place.kind:
            row.keep("kind", f"the place is there already as {place.kind or 'of no kind'}")
        if draft.note and draft.note != place.note:
            row.keep("note", "the place is there already, with its own note")


def path_in(text: str) -> str:
    """A path however its names are parted: “studio > rack 2” is studio/rack 2."""
    return "/".join(PARTED.split(text.strip())) if text else ""
