"""Prints and their wash records: the rows of them that may leave the studio."""

import json
import sqlite3
from collections.abc import Callable
from functools import lru_cache

from catalog.publish.public_editions import Shown, copy_edition, copy_numbers, shown_editions
from catalog.publish.public_words import date_words, public_word, signed_words, size_words
from catalog.records import catalogs, settings
from catalog.rules import print_dates
from catalog.rules.alike import alike, timelines_alike
from catalog.rules.disclosure import differences
from catalog.rules.edition_map import held_many
from catalog.rules.evidence import Evidence, evidence_alike
from catalog.rules.wash_record import WashRecord, wash_records
from catalog.vocabulary import designation

# A print is public when it has a designation of a public edition.
PRINTS = """SELECT p.id, p.edition, code.code, p.kind, p.number, p.made, p.signed, replaced.code,
    coalesce(paper.description, ''), coalesce(m.position, ''), coalesce(m.medium, ''),
    coalesce(p.image_height, e.image_height, n.height), coalesce(p.image_width, e.image_width, n.width),
    coalesce(p.sheet_height, e.sheet_height), coalesce(p.sheet_width, e.sheet_width)
    FROM print p JOIN code ON code.id = p.id JOIN edition e ON e.id = p.edition JOIN negative n ON n.id = p.negative
    LEFT JOIN paper ON paper.id = p.paper
    LEFT JOIN code replaced ON replaced.id = p.replaces
    LEFT JOIN inscription m ON m.id = (SELECT min(id) FROM inscription WHERE print = p.id AND signature = 1)
    WHERE p.edition IN (SELECT value FROM json_each(?))
    AND p.kind IN ('numbered', 'open', 'AP', 'PP', 'HC', 'BAT', 'EC', 'CP') ORDER BY p.id"""

ADD_PRINT = f"INSERT INTO print VALUES ({', '.join('?' * 22)})"
# Prints that went through the very same steps share one record: it is put into words once, and copied by SQL.
LINES = "CREATE TEMP TABLE line (history INTEGER, position INTEGER, happened TEXT, kind TEXT, detail TEXT)"
SHARERS = "CREATE TEMP TABLE sharer (print TEXT, history INTEGER)"
ADD_LINE = "INSERT INTO temp.line VALUES (?, ?, ?, ?, ?)"
ADD_SHARER = "INSERT INTO temp.sharer VALUES (?, ?)"
INDEX_LINES = "CREATE INDEX temp.line_history ON line(history, position)"
ADD_STEPS = """INSERT INTO step SELECT sharer.print, line.position, line.happened, line.kind, line.detail
    FROM temp.sharer CROSS JOIN temp.line ON line.history = sharer.history ORDER BY sharer.rowid, line.position"""
FORGET = ("DROP TABLE temp.line", "DROP TABLE temp.sharer")

BATCH = 20  # editions whose prints are read together: few, so that a bar moves and little is held
Count = Callable[[int], None]


def copy_editions(source: sqlite3.Connection, public: sqlite3.Connection, counted: Count) -> None:
    """Copy every public edition with its map, its prints and their wash records."""
    public.execute(LINES)
    public.execute(SHARERS)
    shown = shown_editions(source)
    for start in range(0, len(shown), BATCH):
        batch = {one.edition.id: one for one in shown[start : start + BATCH]}
        for position, one in enumerate(batch.values(), start + 1):
            copy_edition(source, public, one, position)
        holders = held_many(source, batch)
        copy_numbers(source, public, batch.values(), holders)
        standings = {
            one.print_id: public_word(one.standing, one.reserved) for prints in holders.values() for one in prints
        }
        _copy_prints(source, public, batch, standings, counted)
    public.execute(INDEX_LINES)
    public.execute(ADD_STEPS)
    for statement in FORGET:
        public.execute(statement)


def _copy_prints(
    source: sqlite3.Connection,
    public: sqlite3.Connection,
    batch: dict[int, Shown],
    standings: dict[int, str],
    counted: Count,
) -> None:
    cursor = source.cursor()
    cursor.row_factory = None
    prints = cursor.execute(PRINTS, (json.dumps(list(batch)),)).fetchall()
    evidence, records = _copy_histories(source, public, {row[0]: row[2] for row in prints})
    dates, differs = _words(source, batch)
    rows = []
    for (identity, edition, code, kind, number, made, signed, replaced, paper, position, medium,
         image_height, image_width, sheet_height, sheet_width) in prints:  # fmt: skip
        shown, found, record = batch[edition], evidence[identity], records[identity]
        rows.append(
            (
                code,
                shown.edition.code,
                shown.negative,
                designation(kind, number, shown.edition.size, shown.proofs.get(kind), shown.edition.numerals),
                date_words(made),
                dates(edition, made),
                signed_words(signed, position, medium, bool(shown.edition.estate)),
                paper,
                record.toning,
                record.protection,
                size_words(image_height, image_width),
                size_words(sheet_height, sheet_width),
                standings[identity],
                found.grade,
                found.hypo.sentence,
                "\n".join(found.hypo.doubts),
                found.silver.sentence,
                "\n".join(found.silver.doubts),
                "\n".join(found.claims),
                differs(edition, paper, record.toning),
                replaced or "",
                identity,
            )
        )
    public.executemany(ADD_PRINT, rows)
    counted(len(prints))


def _copy_histories(
    source: sqlite3.Connection, public: sqlite3.Connection, prints: dict[int, str]
) -> tuple[dict[int, Evidence], dict[int, WashRecord]]:
    """Note the wash records of prints (id -> code) for ADD_STEPS; the evidence and the wash record of each."""
    first = alike(source, prints)
    lines = timelines_alike(source, first)
    records = wash_records(source, sorted(set(first.values())), public=True, lines=lines)
    public.executemany(
        ADD_LINE,
        [
            (one, place, date_words(line.happened), line.kind, line.detail)
            for one, record in records.items()
            for place, line in enumerate(record.lines, 1)
        ],
    )
    public.executemany(ADD_SHARER, [(code, first[identity]) for identity, code in prints.items()])
    return evidence_alike(source, first, lines), {identity: records[one] for identity, one in first.items()}


def _words(
    source: sqlite3.Connection, batch: dict[int, Shown]
) -> tuple[Callable[[int, str], str], Callable[[int, str, str], str]]:
    """Two functions of a print's edition: both dates with the word for them, and where the print differs."""
    died, span = catalogs.artist(source).died, int(settings.value(source, print_dates.SETTING))

    @lru_cache(maxsize=4096)
    def dates(edition: int, made: str) -> str:
        negative, estate = batch[edition].negative_made, bool(batch[edition].edition.estate)
        word = print_dates.word(negative, made, died, estate, span)
        return print_dates.PrintDates(word, negative, made).text()

    @lru_cache(maxsize=4096)
    def differs(edition: int, paper: str, tone: str) -> str:
        return " ".join(differences(batch[edition].edition, paper, tone))

    return dates, differs


def artist_lines(source: sqlite3.Connection) -> tuple[str, str]:
    """The artist's name and years of life, as the site says them."""
    artist = catalogs.artist(source)
    return artist.name, artist.life.strip("[]")
