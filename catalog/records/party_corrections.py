"""Corrections of a party: its name, kind, place and the like. What stood there before stays in the journal."""

import json
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from shlex import quote
from typing import NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.records import catalogs, parties
from catalog.records.correction_words import quoted
from catalog.records.parties import Party
from catalog.vocabulary import PARTY_KINDS

# A party has no code, so its corrections are read from the journal; the seal of each command says when, who and why.
CHANGES = """SELECT s.sealed, s.by, s.why, j.before, j.after FROM journal j
    JOIN journal_seal s ON j.id BETWEEN s.first AND s.last WHERE j.tbl = 'party' AND j.key = json_array(?)
    AND j.before IS NOT NULL AND j.after IS NOT NULL AND s.undoes IS NULL
    AND NOT EXISTS (SELECT 1 FROM journal_seal u WHERE u.undoes = s.id) ORDER BY j.id"""
ADDED = """SELECT s.sealed, s.by FROM journal j JOIN journal_seal s ON j.id BETWEEN s.first AND s.last
    WHERE j.tbl = 'party' AND j.key = json_array(?) AND j.before IS NULL ORDER BY j.id DESC LIMIT 1"""
BEARING = """SELECT code.code FROM certificate c JOIN code ON code.id = c.id
    WHERE (instr(c.facts, ?1) OR instr(c.private_facts, ?1))
    AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id) ORDER BY c.id"""
YES_NO = {"yes": 1, "no": 0}
LONGEST = 200


class PartyFieldError(TirageError):
    """A field that a party does not have, or that is corrected otherwise."""

    def __init__(self, name: str, field: str) -> None:
        remedy = (
            f"its date is set right with: tirage party died {quote(name)} DATE --why REASON"
            if field == "died"
            else f"expected one of {', '.join(FIELDS)}"
        )
        super().__init__(f"“{field}” of {name} is not corrected so; {remedy}.")


class PartyNotCorrectedError(TirageError):
    """A party that was not corrected; `reason` is a clause without its full stop."""

    def __init__(self, name: str, reason: str) -> None:
        super().__init__(f"{name} was not corrected: {reason}.")


class Corrected(NamedTuple):
    """A field that was set right, what it was and is now, and the valid certificates that bear the old name."""

    field: str
    before: str
    after: str
    bearing: tuple[str, ...] = ()


class Change(NamedTuple):
    """A correction as the journal has it: when it was sealed, by whom, why, and the fields with both values."""

    sealed: str
    by: str
    why: str
    fields: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True)
class Field:
    """A field of a party: its column, how text is read into it, and how it is written out."""

    column: str
    parse: Callable[[sqlite3.Connection, Party, str], str | int]
    show: Callable[[str | int], str] = str


def correct(connection: sqlite3.Connection, party: Party, field: str, text: str, why: str) -> tuple[Party, Corrected]:
    """Set one field of a party right; the party as it is now, and what was set right.

    Raises PartyFieldError, PartyNotCorrectedError, PartyTakenError, NotUnderstood.
    """
    name = field.strip().lower()
    if name not in FIELDS:
        raise PartyFieldError(party.name, name)
    if not why.strip():
        raise PartyNotCorrectedError(party.name, "a reason is missing, which the record keeps. Add --why REASON")
    if party.name == parties.UNKNOWN:
        raise PartyNotCorrectedError(party.name, "that name stands for whoever it was, and is nobody")
    kept = FIELDS[name]
    wanted = kept.parse(connection, party, " ".join(text.split()))
    now: str | int = getattr(party, kept.column)
    if wanted == now:
        raise PartyNotCorrectedError(party.name, f"the {name} is {quoted(kept.show(now))} already")
    bearing = [row[0] for row in connection.execute(BEARING, (_quoted(party.name),))] if name == "name" else []
    connection.execute(f"UPDATE party SET {kept.column} = ? WHERE id = ?", (wanted, party.id))
    done = Corrected(name, kept.show(now), kept.show(wanted), tuple(bearing))
    return parties.read(connection, party.id), done


def changes(connection: sqlite3.Connection, identity: int) -> list[Change]:
    """What was set right on a party, in order, the date of a death among it."""
    found = []
    for sealed, by, why, before, after in connection.execute(CHANGES, (identity,)):
        then, now = json.loads(before), json.loads(after)
        fields = [(name, one.show(then[one.column]), one.show(now[one.column])) for name, one in FIELDS.items()]
        fields.append(("died", _date_shown(then["died"]), _date_shown(now["died"])))
        found.append(Change(sealed, by, why, tuple(one for one in fields if one[1] != one[2])))
    return [one for one in found if one.fields]


def added(connection: sqlite3.Connection, identity: int) -> tuple[str, str] | None:
    """When the command that added a party was sealed, and by whom; the newest, for identities are given again."""
    row = connection.execute(ADDED, (identity,)).fetchone()
    return (row[0], row[1]) if row else None


def _quoted(name: str) -> str:
    return json.dumps(name, ensure_ascii=False)


def _name(connection: sqlite3.Connection, party: Party, text: str) -> str:
    if not 0 < len(text) <= LONGEST:
        raise NotUnderstood("a name", text[:60], f"1 to {LONGEST} characters")
    for other in parties.listed(connection):
        if (other.id != party.id and other.name.casefold() == text.casefold()) or text == parties.UNKNOWN:
            raise parties.PartyTakenError(text)
    return text


def _kind(connection: sqlite3.Connection, party: Party, text: str) -> str:
    if text not in PARTY_KINDS:
        raise NotUnderstood("the kind of a party", text, ", ".join(PARTY_KINDS))
    _refuse_artist(connection, party, "they are the artist of this catalog, and stay that")
    return text


def _born(connection: sqlite3.Connection, party: Party, text: str) -> str:
    if not text:
        return ""
    born = parse_date(text)
    if party.died_latest and born.earliest > party.died_latest:
        raise PartyNotCorrectedError(party.name, f"they died {parse_date(party.died).text()}, before {born.text()}")
    return born.edtf


def _public(connection: sqlite3.Connection, party: Party, text: str) -> int:
    if text.lower() not in YES_NO:
        raise NotUnderstood("whether somebody may be named in public", text, "yes or no")
    _refuse_artist(connection, party, "they are the artist, whom every page and paper names")
    return YES_NO[text.lower()]


def _refuse_artist(connection: sqlite3.Connection, party: Party, reason: str) -> None:
    if party.id == catalogs.artist(connection).id:
        raise PartyNotCorrectedError(party.name, reason)


def _date_shown(value: str | int) -> str:
    return parse_date(str(value)).text() if value else ""


FIELDS = {
    "name": Field("name", _name),
    "kind": Field("kind", _kind),
    "place": Field("place", lambda connection, party, text: text),
    "born": Field("born", _born, _date_shown),
    "public": Field("nameable", _public, lambda value: "yes" if value else "no"),
    "note": Field("note", lambda connection, party, text: text),
}
