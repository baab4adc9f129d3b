"""Editions, their numbers, prints, wash records and certificates: the rows of them that may leave the studio."""

import json
import sqlite3
from collections.abc import Callable, Iterator
from functools import lru_cache

from catalog.dates import parse_date
from catalog.measures import format_size
from catalog.records import catalogs, certificates, editions
from catalog.rules.disclosure import differences
from catalog.rules.edition_map import edition_map, held
from catalog.rules.evidence import evidence_many, wash_record
from catalog.rules.toning import toning
from catalog.signing import grouped
from catalog.vocabulary import PROOF_KINDS, designation

# An edition is public when it is shown or its negative is; a print when it has a designation of such an edition.
EDITIONS = """SELECT e.id FROM edition e JOIN negative n ON n.id = e.negative
    WHERE e.shown = 1 OR n.shown = 1 ORDER BY e.id"""
PRINTS = """SELECT p.id, code.code, p.kind, p.number, p.made, p.signed, p.state, p.replaces, replaced.code AS replaced,
    coalesce(paper.description, '') AS paper,
    coalesce(p.image_height, e.image_height, n.height) AS image_height,
    coalesce(p.image_width, e.image_width, n.width) AS image_width,
    coalesce(p.sheet_height, e.sheet_height) AS sheet_height, coalesce(p.sheet_width, e.sheet_width) AS sheet_width
    FROM print p JOIN code ON code.id = p.id JOIN edition e ON e.id = p.edition JOIN negative n ON n.id = p.negative
    LEFT JOIN paper ON paper.id = p.paper
    LEFT JOIN code replaced ON replaced.id = p.replaces
    WHERE p.edition = ? AND p.kind IN ('numbered', 'open', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP') ORDER BY p.id"""
MARKS = "SELECT position, medium FROM inscription WHERE print = ? AND signature = 1 ORDER BY id"
CODE = "SELECT code FROM code WHERE id = ?"
NAMEABLE = "SELECT name FROM party WHERE nameable = 1 OR id = (SELECT artist FROM catalog)"

ADD_EDITION = "INSERT INTO edition VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
ADD_NUMBER = "INSERT INTO edition_number VALUES (?, ?, ?, ?, ?, ?, ?)"
ADD_PRINT = "INSERT INTO print VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"
ADD_STEP = "INSERT INTO step VALUES (?, ?, ?, ?, ?)"
ADD_CERTIFICATE = "INSERT INTO certificate VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)"

STATES = {"declared": "open"}
PUBLIC_WORDS = {
    "free": "not yet printed",
    "reserved": "reserved",
    "void": "void",
    **dict.fromkeys(("printed", "signed", "consigned", "lent"), "available"),
    **dict.fromkeys(("sold", "given"), "placed"),
    "kept": "kept",
    "destroyed": "destroyed",
    "lost": "lost",
}
KINDS = ("numbered", *PROOF_KINDS)
CELLS = 1_000_000  # numbers of one kind stand together on the map
Count = Callable[[int], None]


@lru_cache(maxsize=4096)
def date_words(edtf: str) -> str:
    """A date in English, "" where there is none."""
    return parse_date(edtf).text() if edtf else ""


def size_words(height: int | None, width: int | None) -> str:
    """Height by width, "" where not known."""
    return format_size(height, width) if height and width else ""


def copy_editions(source: sqlite3.Connection, public: sqlite3.Connection, counted: Count) -> None:
    """Copy every public edition with its map, its prints, their wash records and their certificates."""
    for position, (identity,) in enumerate(source.execute(EDITIONS).fetchall(), 1):
        found = editions.read(source, identity)
        negative: str = source.execute(CODE, (found.negative,)).fetchone()[0]
        statement = editions.statement(source, found) + (", printed for the estate" if found.estate else "")
        public.execute(
            ADD_EDITION,
            (
                found.code,
                negative,
                found.title,
                found.size,
                statement,
                size_words(found.image_height, found.image_width),
                size_words(found.sheet_height, found.sheet_width),
                found.process,
                found.paper,
                found.toning,
                date_words(found.declared),
                STATES.get(found.state, found.state),
                position,
            ),
        )
        prints = source.execute(PRINTS, (identity,)).fetchall()
        public.executemany(ADD_NUMBER, _numbers(source, found))
        _copy_prints(source, public, found, negative, prints, counted)


def copy_certificates(source: sqlite3.Connection, public: sqlite3.Connection) -> None:
    """Copy the certificates of the prints that were copied before."""
    prints = {code for (code,) in public.execute("SELECT code FROM print")}
    shown = {code for (code,) in public.execute("SELECT code FROM edition")}
    nameable = {name.casefold() for (name,) in source.execute(NAMEABLE)}
    for found in certificates.listed(source):
        if found.print_code in prints:
            public.execute(
                ADD_CERTIFICATE,
                (
                    found.code,
                    found.print_code,
                    date_words(found.issued),
                    found.standing,
                    found.superseded_by,
                    "",  # why it was revoked is free text and may name a person: the bare fact is enough
                    grouped(found.fingerprint),
                    found.thumbprint,
                    public_facts(found.facts, nameable, shown),
                ),
            )


def public_facts(facts: str, nameable: set[str], public_editions: set[str]) -> str:
    """The frozen facts, to the letter or not at all: their fingerprint is of exactly these characters.

    The paper also names who printed and supervised, and every other edition of the image; "" where the facts name a
    person who may not be named in public, or an edition that is not shown.
    """
    frozen = json.loads(facts)
    made = frozen.get("print") or {}
    people = {made[name].casefold() for name in ("printed_by", "supervised_by") if made.get(name)}
    others = {other["code"] for other in frozen.get("other_editions", ())}
    return facts if people <= nameable and others <= public_editions else ""


def public_word(standing: str, unpaid: bool) -> str:
    """The public word for a standing of the studio. Sold and not yet paid, its title still here, it is reserved."""
    return "reserved" if standing == "sold" and unpaid else PUBLIC_WORDS[standing]


def _numbers(source: sqlite3.Connection, edition: editions.Edition) -> Iterator[tuple[object, ...]]:
    for cell in edition_map(source, edition):
        # Without a print a number is promised, struck out, or still to come.
        ahead = cell.standing if cell.standing in ("reserved", "void") else "free"
        words = public_word(cell.standing if cell.code else ahead, cell.unpaid)
        place = KINDS.index(cell.kind) * CELLS + cell.number
        yield (edition.code, cell.kind, cell.number, cell.label, words, cell.code or None, place)


def _copy_prints(
    source: sqlite3.Connection,
    public: sqlite3.Connection,
    edition: editions.Edition,
    negative: str,
    prints: list[sqlite3.Row],
    counted: Count,
) -> None:
    evidence = evidence_many(source, [row["id"] for row in prints])
    standings = {one.print_id: public_word(one.standing, one.unpaid) for one in held(source, edition.id)}
    proofs = editions.proofs(source, edition.id)
    for row in prints:
        found, tone = evidence[row["id"]], toning(source, row["id"])
        called = designation(row["kind"], row["number"], edition.size, proofs.get(row["kind"]))
        public.execute(
            ADD_PRINT,
            (
                row["code"],
                edition.code,
                negative,
                called,
                date_words(row["made"]),
                _signed(source, row),
                row["paper"],
                tone,
                size_words(row["image_height"], row["image_width"]),
                size_words(row["sheet_height"], row["sheet_width"]),
                standings[row["id"]],
                found.grade,
                found.hypo.sentence,
                found.silver.sentence,
                " ".join(differences(edition, row["paper"], tone)),
                row["replaced"] or "",
                row["id"],
            ),
        )
        public.executemany(
            ADD_STEP,
            [
                (row["code"], place, date_words(line.happened), line.kind, line.detail)
                for place, line in enumerate(wash_record(source, row["id"], public=True), 1)
            ],
        )
        counted(1)


def _signed(source: sqlite3.Connection, row: sqlite3.Row) -> str:
    if not row["signed"]:
        return ""
    mark = source.execute(MARKS, (row["id"],)).fetchone()
    where = (
        " ".join(part for part in (mark["position"], f"in {mark['medium']}" if mark["medium"] else "") if part)
        if mark
        else ""
    )
    return " ".join(part for part in ("signed", where) if part) + f", {date_words(row['signed'])}"


def artist_lines(source: sqlite3.Connection) -> tuple[str, str]:
    """The artist's name and years of life, as the site says them."""
    artist = catalogs.artist(source)
    return artist.name, artist.life.strip("[]")
