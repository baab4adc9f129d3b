"""People and bodies out of a table; spellings that are likely one and the same are told."""

import re
from collections.abc import Iterator
from functools import cached_property
from shlex import quote
from typing import NamedTuple

from catalog.dates import Date
from catalog.exchange.importing.cells import choice_in, date_in
from catalog.exchange.importing.frame import Field, Importer, Importing, Row
from catalog.exchange.importing.told_in_notes import tell_ways
from catalog.records import forgotten, parties
from catalog.records.parties import Party
from catalog.records.party_names import Near, plain_words
from catalog.vocabulary import CONTACT_KINDS, PARTY_KINDS

KINDS = {word: word for word in PARTY_KINDS} | {
    "artiste": "artist", "künstler": "artist", "künstlerin": "artist", "photographer": "artist",
    "photographe": "artist", "fotograf": "artist", "fotografin": "artist", "imprimeur": "printer", "tireur": "printer",
    "drucker": "printer", "lab": "printer", "labor": "printer", "collectionneur": "collector",
    "collectionneuse": "collector", "sammler": "collector", "sammlerin": "collector", "private": "collector",
    "private collector": "collector", "client": "collector", "customer": "collector", "buyer": "collector",
    "acheteur": "collector", "käufer": "collector", "privat": "collector", "person": "collector", "galerie": "gallery",
    "dealer": "gallery", "marchand": "gallery", "händler": "gallery", "museum": "institution", "musée": "institution",
    "archive": "institution", "archives": "institution", "archiv": "institution", "bibliothek": "institution",
    "library": "institution", "university": "institution", "foundation": "institution", "stiftung": "institution",
    "autre": "other", "andere": "other", "sonstige": "other",
}  # fmt: skip
# A word of the name that says what it is; common practice, no source.
KINDS_BY_NAME = {
    "gallery": "gallery", "galerie": "gallery", "galleria": "gallery", "kunsthandel": "gallery",
    "kunsthandlung": "gallery", "museum": "institution", "musee": "institution", "museo": "institution",
    "archive": "institution", "archives": "institution", "archiv": "institution", "stadtarchiv": "institution",
    "library": "institution", "bibliothek": "institution", "bibliotheque": "institution", "kunsthalle": "institution",
    "university": "institution", "universitat": "institution", "universite": "institution",
    "foundation": "institution", "fondation": "institution", "stiftung": "institution",
}  # fmt: skip
REACHED = "SELECT p.name, c.kind, c.value FROM party_contact c JOIN party p ON p.id = c.party ORDER BY c.id"
FEWEST_DIGITS = 6  # of a telephone number that is somebody's own
# What a party that is there lacks, as told.
LACKING = {"place": "no place", "born": "no date of birth", "died": "no date of death", "note": "no note"}


class Draft(NamedTuple):
    """A party that was read."""

    name: str
    kind: str
    place: str
    born: Date | None
    died: Date | None
    note: str
    contacts: dict[str, str]


class Parties(Importer[Draft]):
    """Reads people and bodies. One that is there already is left as it is, and its row belongs to it."""

    noun = "parties"
    one = "party"
    needed = ("name", "last name")
    hidden = CONTACT_KINDS
    dates = ("born", "died")
    fields = (
        Field("name", "the whole name",
              ("full name", "party", "nom", "nom complet", "client", "customer", "collector", "gallery", "buyer",
               "collectionneur", "galerie", "sammler", "kunde", "käufer", "company", "firm", "firma", "organisation",
               "organization", "société", "contact")),
        Field("first name", "where first and last name have a column each",
              ("given name", "forename", "prénom", "vorname")),
        Field("last name", "the family name", ("surname", "family name", "nom de famille", "nachname", "familienname")),
        Field("kind", "artist, printer, collector, gallery, institution or other",
              ("type", "typ", "category", "role", "catégorie", "rôle", "art", "kategorie", "rolle")),
        Field("place", "town, for a provenance",
              ("town", "city", "location", "lieu", "ville", "ort", "stadt", "wohnort", "sitz")),
        Field("country", "put behind the town", ("pays", "land", "state", "nation")),
        Field("born", "year or date of birth", ("birth", "date of birth", "year of birth", "né", "née", "naissance",
                                                "geboren", "geburtsdatum", "geburtsjahr")),
        Field("died", "year or date of death", ("death", "date of death", "year of death", "décès", "mort", "décédé",
                                                "gestorben", "todesdatum", "todesjahr", "sterbejahr")),
        Field("mail", "kept apart: can be forgotten", ("email", "e-mail", "mail address", "email address", "courriel",
                                                       "mél", "mailadresse", "e mail adresse")),
        Field("address", "kept apart: can be forgotten",
              ("street", "postal address", "adresse", "anschrift", "adresse postale", "street address")),
        Field("telephone", "kept apart: can be forgotten",
              ("phone", "tel", "mobile", "phone number", "téléphone", "portable", "telefon", "telefonnummer", "handy")),
        Field("note", "a private remark",
              ("remark", "comment", "remarque", "commentaire", "observation", "bemerkung", "anmerkung", "notiz")),
    )  # fmt: skip

    def __init__(self, work: Importing) -> None:
        super().__init__(work)
        self.there = {_folded(party.name): party for party in parties.listed(work.connection)}
        self.rows: dict[str, int] = {}  # names of this file -> their row
        self.names = Near(party.name for party in self.there.values() if party.name != parties.UNKNOWN)
        self.offered: dict[str, str] = {}
        self.reached: dict[tuple[str, str], str] = {}  # a mail or a telephone -> whose it is
        for name, kind, value in work.connection.execute(REACHED):
            self._reached(name, kind, value)

    def read(self, row: Row) -> Draft | None:
        """A party, with what its name is likely another spelling of."""
        options = self.work.options
        whole = row.get("name") or " ".join(filter(None, (row.get("first name"), row.get("last name"))))
        name = " ".join(options.meant("parties", whole).split())
        if not name:
            row.refuse("name", "it has no name; expected one")
            return None
        if row.get("name") and (row.get("first name") or row.get("last name")):
            own = " ".join(filter(None, (row.get("first name"), row.get("last name"))))
            if plain_words(own) != plain_words(name):
                return self._read(row, f"{own} ({name})" if row.get("last name") else name)
        return self._read(row, name)

    def _read(self, row: Row, name: str) -> Draft | None:
        options, today = self.work.options, self.work.event.moment.latest
        field = _name_field(row)
        folded = _folded(name)
        if folded not in self.there and folded not in self.rows:
            self._tell_near(row, field, name)
            self.names.add(name)
            self.rows[folded] = row.line
        for kind in CONTACT_KINDS:
            self._reached(name, kind, row.get(kind))
        tell_ways(row, name)
        place = ", ".join(filter(None, (row.get("place"), row.get("country"))))
        return Draft(
            name,
            self._kind(row, name, new=folded not in self.there and self.rows[folded] == row.line),
            place,
            date_in(row, "born", options, today=today),
            date_in(row, "died", options, today=today),
            row.get("note"),
            {kind: row.get(kind) for kind in CONTACT_KINDS if row.get(kind)},
        )

    def add_one(self, row: Row, draft: Draft) -> tuple[int, str]:
        """Add a party, or give the row to the one that is there."""
        found = self.there.get(_folded(draft.name))
        if found is None:
            found = self.there[_folded(draft.name)] = parties.add(
                self.work.connection,
                draft.name,
                draft.kind,
                place=draft.place,
                born=draft.born.edtf if draft.born else "",
                died=draft.died,
                note=draft.note,
                contacts={} if self._was_forgotten(row, draft.name) else draft.contacts,
            )
        else:
            row.merged = True
            self._belongs(row, draft, found)
        return found.id, found.name

    def look_again(self, row: Row) -> None:
        """Add ways to reach somebody where none ever stood, and tell those that differ."""
        if any(row.get(kind) for kind in CONTACT_KINDS):
            self._ways(row, parties.read(self.work.connection, row.thing))

    @cached_property
    def forgotten(self) -> Near:
        """The names of whoever was forgotten."""
        return Near(forgotten.names(self.work.connection))

    def preview(self, draft: Draft) -> dict[str, str]:
        """How it was read."""
        return {
            "name": draft.name,
            "kind": draft.kind,
            "place": draft.place,
            "born": draft.born.text() if draft.born else "",
            "died": draft.died.text() if draft.died else "",
        }

    def near(self) -> dict[str, dict[str, str]]:
        """Names that are likely others, misspelled."""
        return {"parties": self.offered}

    def _reached(self, name: str, kind: str, text: str) -> None:
        key = _reach(kind, text)
        if key[0]:
            self.reached.setdefault(key, name)

    def _tell_near(self, row: Row, field: str, name: str) -> None:
        """Tell who a new party likely is: one spelled much like it, or one with the same mail or telephone."""
        near, why = self.names.find(name), "spelled much like"
        for kind in () if near else CONTACT_KINDS:
            near = near or self.reached.get(_reach(kind, row.get(kind)), "")
            why = f"the same {kind} as" if near and why.startswith("spelled") else why
        if near:
            where = f"row {self.rows[_folded(near)]}" if _folded(near) in self.rows else "in the catalog"
            row.doubt(field, f"{why} “{near}” ({where}); added as another. If it is one and the same, say so under "
                             f"[parties] in the mapping file")  # fmt: skip
            self.offered[name] = near

    def _kind(self, row: Row, name: str, *, new: bool) -> str:
        if row.get("kind"):
            return choice_in(row, "kind", KINDS, "other")
        for word in plain_words(name) if new else ():
            if word in KINDS_BY_NAME:
                kind = KINDS_BY_NAME[word]
                row.doubt("name", f"taken for “{kind}” by its name, so it may be named in public")
                return kind
        return "other"

    def _belongs(self, row: Row, draft: Draft, party: Party) -> None:
        """What a row says of a party that is there already: ways to reach it where none stood, else only told."""
        added = self._ways(row, party)
        left = "" if added else " and is left as it is"
        row.doubt(_name_field(row), f"“{party.name}” is there already{left}; this row belongs to it")
        for name, told in self._differing(draft, party):
            row.keep(name, f"“{party.name}” is there already with {told}")
        if KINDS.get(row.get("kind").casefold(), party.kind) != party.kind:
            row.doubt("kind", f"“{party.name}” is there already as {party.kind}, and stays that. To change it: tirage "
                              f"party correct {quote(party.name)} kind={draft.kind} --why REASON")  # fmt: skip

    def _ways(self, row: Row, party: Party) -> bool:
        """Add the ways to reach a party that is there where none stands, and tell what came of each."""
        known = parties.contacts(self.work.connection, party.id)
        told = {kind: text for kind in CONTACT_KINDS if (text := row.get(kind)) and known.get(kind) != text}
        if not told or self._was_forgotten(row, party.name):
            return False
        new = {kind: text for kind, text in told.items() if kind not in known}
        for kind in told:
            if kind in new:
                row.doubt(kind, f"no {kind} is kept of “{party.name}”, which is there already; this one is added")
            else:
                row.doubt(kind, f"“{party.name}” has another {kind} already, and this one was not taken: no list "
                                f"changes how somebody is reached")  # fmt: skip
        parties.add_contacts(self.work.connection, party.id, new)
        row.reached = len(new)
        return bool(new)

    def _was_forgotten(self, row: Row, name: str) -> bool:
        """Whether somebody of that name, or one spelled much like it, was forgotten, which is told where it matters."""
        kind = next((kind for kind in CONTACT_KINDS if row.get(kind)), "")
        found = self.forgotten.find(name) if kind else ""
        if found:
            who = f"“{found}”" if _folded(found) == _folded(name) else f"“{found}”, spelled much like “{name}”,"
            row.doubt(kind, f"{who} was forgotten; how to reach them is not taken from a list. If they want to be "
                            f"reached again: tirage party reach {quote(name)} --{kind} TEXT")  # fmt: skip
        return bool(found)

    def _differing(self, draft: Draft, party: Party) -> Iterator[tuple[str, str]]:
        for field, ours, theirs in (
            ("place", draft.place, party.place),
            ("born", draft.born.edtf if draft.born else "", party.born),
            ("died", draft.died.edtf if draft.died else "", party.died),
            ("note", draft.note, party.note),
        ):
            if ours and ours != theirs:
                yield field, f"“{theirs}”" if theirs else LACKING[field]


def _name_field(row: Row) -> str:
    return "name" if row.get("name") else "last name"


def _reach(kind: str, text: str) -> tuple[str, str]:
    """A mail or a telephone for comparison; ("", "") for an address or none."""
    if kind == "mail" and "@" in text:
        return kind, text.strip().casefold()
    digits = re.sub(r"[^0-9]", "", text)
    return (kind, digits) if kind == "telephone" and len(digits) >= FEWEST_DIGITS else ("", "")


def _folded(name: str) -> str:
    return name.casefold()
