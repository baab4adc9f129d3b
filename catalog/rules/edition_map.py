"""The map of an edition: every number and proof, and how it stands."""

import json
import sqlite3
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from catalog.records import catalogs, editions
from catalog.vocabulary import designation

# A sale by a consignee leaves the title here until it is paid; a direct sale passes it at once.
READ = """SELECT p.id, p.edition, code.code, p.kind, p.number, p.state, p.signed, s.owner, s.custodian,
    (SELECT kind FROM transfer t WHERE t.item = p.id ORDER BY rank DESC LIMIT 1) AS last,
    (SELECT kind FROM transfer t WHERE t.id = s.custody_transfer) AS custody,
    coalesce((SELECT kind FROM transfer t WHERE t.item = p.id AND t.title = 1
              AND t.from_party = (SELECT artist FROM catalog) ORDER BY rank DESC LIMIT 1),
             (SELECT kind FROM transfer t WHERE t.id = s.title_transfer)) AS title,
    EXISTS (SELECT 1 FROM transfer t WHERE t.item = p.id AND t.kind = 'sale' AND t.title = 0
            AND NOT EXISTS (SELECT 1 FROM transfer q WHERE q.settles = t.id)) AS unpaid,
    EXISTS (SELECT 1 FROM print r WHERE r.replaces = p.id) AS replaced,
    EXISTS (SELECT 1 FROM promise h WHERE h.edition = p.edition AND h.kind = p.kind AND h.number = p.number
            AND h.ended = '') AS promised
    FROM print p JOIN code ON code.id = p.id JOIN standing s ON s.item = p.id"""
HOLDERS = f"{READ} WHERE p.edition IN (SELECT value FROM json_each(?1)) ORDER BY p.id"
OUTSIDE = f"{READ} WHERE p.edition IS NULL AND p.kind = 'unique' ORDER BY p.id"
HANDED = {"consignment": "consigned", "approval": "consigned", "loan": "lent", "exhibition": "lent"}
LEFT_BY = {"gift": "given", "bequest": "given", "exchange": "exchanged"}  # what moved title from the artist, in words


class Standing(NamedTuple):
    """What is read of a print, in the order of READ: `last`, `custody` and `title` are kinds of change of hands."""

    id: int
    edition: int | None
    code: str
    kind: str | None
    number: int | None
    state: str
    signed: str
    owner: int | None
    custodian: int | None
    last: str | None
    custody: str
    title: str
    unpaid: int
    replaced: int
    promised: int


class Held(NamedTuple):
    """A print and how it stands; `reserved` when it is spoken for: promised, or sold and its title still here."""

    print_id: int
    code: str
    kind: str | None
    number: int | None
    standing: str
    reserved: bool
    replaced: bool


class Cell(NamedTuple):
    """One number: its label and standing, and the print that holds it.

    Standings: free, reserved, printed, signed, sold, given, exchanged, consigned, lent, elsewhere, kept, destroyed,
    lost, void.
    """

    kind: str
    number: int
    label: str
    standing: str
    print_id: int | None
    code: str
    reserved: bool = False


def held(connection: sqlite3.Connection, edition_id: int) -> list[Held]:
    """Every print of an edition with its standing, those outside the numbers and those replaced among them."""
    return held_many(connection, [edition_id])[edition_id]


def held_many(connection: sqlite3.Connection, edition_ids: Iterable[int]) -> dict[int, list[Held]]:
    """The same of many editions, in one query."""
    found: dict[int, list[Held]] = {identity: [] for identity in edition_ids}
    artist = catalogs.artist(connection).id
    for row in connection.execute(HOLDERS, (json.dumps(list(found)),)):
        found[row["edition"]].append(_held(row, artist))
    return found


def held_outside(connection: sqlite3.Connection) -> list[Held]:
    """Unique prints outside every edition, with their standing."""
    artist = catalogs.artist(connection).id
    return [_held(row, artist) for row in connection.execute(OUTSIDE).fetchall()]


def _held(row: sqlite3.Row, artist: int) -> Held:
    known = Standing(*row)
    spoken_for = (known.unpaid or known.promised) and known.owner == artist
    standing = _standing(known, artist)
    return Held(known.id, known.code, known.kind, known.number, standing, bool(spoken_for), bool(known.replaced))


def edition_map(
    connection: sqlite3.Connection, edition: editions.Edition, prints: Sequence[Held] | None = None
) -> list[Cell]:
    """Every number and proof of an edition, in order: the numbered run first, then the proofs.

    `prints` is what `held` gives, where that is known already.
    """
    known = held(connection, edition.id) if prints is None else prints
    holders = {(one.kind, one.number): one for one in known if not one.replaced}
    register = {(row[0], row[1]): row[2] for row in connection.execute(editions.NUMBERS, (edition.id,))}
    proofs = editions.proofs(connection, edition.id)
    runs = ([("numbered", edition.closed_at or edition.size)] if edition.size else []) + list(proofs.items())
    cells = []
    for kind, count in runs:
        for number in range(1, count + 1):
            one = holders.get((kind, number))
            label = designation(kind, number, edition.size, proofs.get(kind), edition.numerals)
            if one:
                cells.append(Cell(kind, number, label, one.standing, one.print_id, one.code, one.reserved))
            else:
                cells.append(Cell(kind, number, label, register.get((kind, number), "free"), None, ""))
    return cells


def _standing(known: Standing, artist: int) -> str:
    """Each word by the transfer that made it so: what a later owner did with a print changes nothing here."""
    if known.state in ("destroyed", "lost"):
        return known.state
    if known.owner != artist:
        return LEFT_BY.get(known.title, "sold")
    if known.unpaid:
        return "sold"
    if known.custodian != artist:
        return HANDED.get(known.custody, "elsewhere")
    if known.last == "kept":
        return "kept"
    return "signed" if known.signed else "printed"
