"""Parties: people and bodies that own, keep, sell or print."""

import sqlite3
from collections.abc import Mapping
from shlex import quote
from typing import NamedTuple

from catalog.dates import Date
from catalog.errors import NotUnderstood, TirageError
from catalog.records.party_names import Near, misspelled
from catalog.store.rows import fetch_all
from catalog.vocabulary import DEALER_KINDS

READ = "SELECT id, name, kind, place, born, died, died_latest, nameable, note FROM party"
UNKNOWN = "Unknown party"  # who had a thing, where nobody knows it: a name, never an empty one
ADD = """INSERT INTO party (name, kind, place, born, died, died_latest, nameable, note)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_CONTACT = "INSERT INTO party_contact (party, kind, value, salt, digest) VALUES (?, ?, ?, ?, ?)"
FORGET = "DELETE FROM party_contact WHERE party = ?"
# Parties that a command added and that have ways to reach them which it did not tell.
REACHED_SINCE = """SELECT p.name FROM journal j JOIN party p ON p.id = json_extract(j.key, '$[0]')
    WHERE j.id BETWEEN ?1 AND ?2 AND j.tbl = 'party' AND j.before IS NULL AND EXISTS (SELECT 1 FROM party_contact c
    WHERE c.party = p.id AND c.digest NOT IN (SELECT json_extract(o.after, '$.digest') FROM journal o
    WHERE o.id BETWEEN ?1 AND ?2 AND o.tbl = 'party_contact' AND o.after IS NOT NULL)) ORDER BY j.id"""
REACHED_BY = """SELECT DISTINCT json_extract(coalesce(after, before), '$.party') FROM journal
    WHERE id BETWEEN ? AND ? AND tbl = 'party_contact' ORDER BY id"""
NAMED_BEFORE = """SELECT json_extract(key, '$[0]'), json_extract(coalesce(after, before), '$.name') FROM journal
    WHERE tbl = 'party' AND id < ? ORDER BY id"""
CHANGE_CONTACT = "UPDATE party_contact SET value = ?, salt = ?, digest = ? WHERE party = ? AND kind = ?"


class UnknownPartyError(TirageError):
    """A name nobody has."""

    def __init__(self, name: str, near: list[str]) -> None:
        hint = f" Did you mean {' or '.join(near)}?" if near else ""
        super().__init__(f"There is no party “{name}”.{hint} Add them first: tirage party add {quote(name)}.")


class PartyTakenError(TirageError):
    """A second party of one name."""

    def __init__(self, name: str) -> None:
        super().__init__(f"There is a party “{name}” already; tell two of one name apart, such as “{name} (Lyon)”.")


class Party(NamedTuple):
    """One party; `nameable` says whether it may be named in public."""

    id: int
    name: str
    kind: str
    place: str
    born: str
    died: str
    died_latest: str
    nameable: int
    note: str

    @property
    def is_dealer(self) -> bool:
        """Whether a provenance puts it in round brackets."""
        return self.kind in DEALER_KINDS


def listed(connection: sqlite3.Connection) -> list[Party]:
    """All parties by name."""
    return fetch_all(connection, Party, f"{READ} ORDER BY name COLLATE NOCASE")


def read(connection: sqlite3.Connection, identity: int) -> Party:
    """One party by its identity."""
    return fetch_all(connection, Party, f"{READ} WHERE id = ?", (identity,))[0]


def named(connection: sqlite3.Connection, name: str) -> Party:
    """The party of a name, in any case, or the one whose name begins so. Raises UnknownPartyError."""
    if not name.strip():
        raise NotUnderstood("a name", name, "the party's name in quotes")
    exact = fetch_all(connection, Party, f"{READ} WHERE name = ? COLLATE NOCASE", (name,))
    if exact:
        return exact[0]
    parties = listed(connection)
    begins = [party for party in parties if party.name.casefold().startswith(name.casefold())]
    if len(begins) == 1:
        return begins[0]
    import difflib

    near = [party.name for party in begins] or difflib.get_close_matches(name, [p.name for p in parties], 2)
    raise UnknownPartyError(name, near[:3])


def similar(connection: sqlite3.Connection, party: Party) -> list[str]:
    """Names of others that are spelled much like this one's."""
    import difflib

    others = [other.name for other in listed(connection) if other.id != party.id and other.name != UNKNOWN]
    likely = filter(None, [Near(others).find(party.name)])
    return list(dict.fromkeys([*likely, *difflib.get_close_matches(party.name, others, 2, 0.75)]))[:2]


def named_or_added(connection: sqlite3.Connection, name: str, kind: str) -> tuple[Party, bool]:
    """The party of that name, added (privately, whatever its kind) when nobody has it; and whether it was added.

    Raises UnknownPartyError for what is likely one that is there, misspelled.
    """
    try:
        return named(connection, name), False
    except UnknownPartyError:
        names = [party.name for party in listed(connection)]
        meant = [other for other in names if other.casefold().startswith(name.casefold()) or misspelled(name, other)]
        if meant:
            raise UnknownPartyError(name, meant[:3]) from None
        return add(connection, name, kind, nameable=False), True


def unknown(connection: sqlite3.Connection) -> Party:
    """The party that stands for whoever it was; there once somebody needs it."""
    found = fetch_all(connection, Party, f"{READ} WHERE name = ?", (UNKNOWN,))
    return found[0] if found else add(connection, UNKNOWN, "other", nameable=True)


def add(
    connection: sqlite3.Connection,
    name: str,
    kind: str = "collector",
    *,
    place: str = "",
    born: str = "",
    died: Date | None = None,
    nameable: bool | None = None,
    note: str = "",
    contacts: Mapping[str, str] | None = None,
) -> Party:
    """Add a party. Galleries and institutions may be named in public unless said otherwise, persons not."""
    name = " ".join(name.split())
    if not 0 < len(name) <= 200:
        raise NotUnderstood("a name", name[:60], "1 to 200 characters")
    if fetch_all(connection, Party, f"{READ} WHERE name = ? COLLATE NOCASE", (name,)):
        raise PartyTakenError(name)
    if nameable is None:
        nameable = kind in ("gallery", "institution")
    cursor = connection.execute(
        ADD, (name, kind, place, born, died.edtf if died else "", died.latest if died else "", int(nameable), note)
    )
    identity = int(cursor.lastrowid or 0)
    add_contacts(connection, identity, contacts or {})
    return read(connection, identity)


def add_contacts(connection: sqlite3.Connection, identity: int, contacts: Mapping[str, str]) -> None:
    """Keep how to reach a party: kind (address, mail, telephone) -> text. The journal gets only a salted digest."""
    for contact, value in contacts.items():
        connection.execute(ADD_CONTACT, (identity, contact, value, *_sealed(value)))


def reach(connection: sqlite3.Connection, identity: int, told: Mapping[str, str]) -> list[str]:
    """Change how a party is reached: what stood there is gone for good; an empty text takes that way away.

    The kinds that are otherwise now; what stands there already is left alone, and leaves no trace in the journal.
    """
    known = contacts(connection, identity)
    changed = [contact for contact, value in told.items() if known.get(contact, "") != value]
    for contact in changed:
        value = told[contact]
        if value and contact in known:
            connection.execute(CHANGE_CONTACT, (value, *_sealed(value), identity, contact))
        elif value:
            add_contacts(connection, identity, {contact: value})
        else:
            connection.execute(f"{FORGET} AND kind = ?", (identity, contact))
    return changed


def _sealed(value: str) -> tuple[str, str]:
    """A salt, and the digest that the journal keeps."""
    import secrets

    from catalog.store.row_proof import contact_digest

    salt = secrets.token_hex(16)
    return salt, contact_digest(salt, value)


def contacts(connection: sqlite3.Connection, identity: int) -> dict[str, str]:
    """Kind -> how to reach a party."""
    return dict(connection.execute("SELECT kind, value FROM party_contact WHERE party = ? ORDER BY id", (identity,)))


def forget(connection: sqlite3.Connection, identity: int) -> int:
    """Empty a party's addresses for good; how many there were. The journal never held them."""
    return connection.execute(FORGET, (identity,)).rowcount


def reached_since(connection: sqlite3.Connection, first: int, last: int) -> list[str]:
    """The parties that a command added, by its journal rows, and that are reached otherwise since."""
    return [name for (name,) in connection.execute(REACHED_SINCE, (first, last))]


def of_whom(connection: sqlite3.Connection, first: int, last: int) -> list[str]:
    """The names, as they were then, of whoever is reached otherwise by a command that did nothing else."""
    named: dict[int, str] = dict(connection.execute(NAMED_BEFORE, (first,)).fetchall())
    return [named[party] for (party,) in connection.execute(REACHED_BY, (first, last)) if party in named]
