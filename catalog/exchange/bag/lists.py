"""Two lists for people, beside the tables: every plate and every print on one line, by code and in words."""

import json
import sqlite3
from collections.abc import Callable
from typing import Any

from catalog.exchange import cells
from catalog.exchange.bag.packing import Packing
from catalog.exchange.own_lists import date_text, length_text, size_text

FOLDER = "lists"
PATHS = """WITH RECURSIVE whole(id, path) AS (SELECT id, name FROM place WHERE parent IS NULL
    UNION ALL SELECT p.id, whole.path || '/' || p.name FROM place p JOIN whole ON p.parent = whole.id)\n"""
PLATES = f"""{PATHS} SELECT c.code AS code, n.title AS title, coalesce(s.title, '') AS series, n.made AS made,
    n.process AS process, n.support AS support, n.height AS "height, cm", n.width AS "width, cm",
    n.state AS state, coalesce(p.path, '') AS place, coalesce(k.name, '') AS "who has it",
    coalesce(o.name, '') AS owner, n.mark AS "mark on the plate", n.note AS note
    FROM negative n JOIN code c ON c.id = n.id LEFT JOIN series s ON s.id = n.series
    LEFT JOIN standing t ON t.item = n.id LEFT JOIN whole p ON p.id = t.place
    LEFT JOIN party k ON k.id = t.custodian LEFT JOIN party o ON o.id = t.owner ORDER BY n.id"""
PRINTS = f"""{PATHS} SELECT c.code AS code, coalesce(e.title, n.title) AS title, nc.code AS plate,
    coalesce(ec.code, '') AS edition,
    coalesce(m.kind, '') AS kind, m.number AS number,
    CASE WHEN m.kind = 'numbered' THEN e.size ELSE f.count END AS "of",
    m.made AS made, m.signed AS signed, coalesce(r.name, '') AS paper,
    coalesce(r.description, '') AS "description of the paper",
    json_array(coalesce(m.image_height, e.image_height, n.height),
    coalesce(m.image_width, e.image_width, n.width)) AS "image size",
    m.state AS state, coalesce(p.path, '') AS place, coalesce(k.name, '') AS "who has it",
    coalesce(o.name, '') AS owner, m.note AS note
    FROM print m JOIN code c ON c.id = m.id JOIN negative n ON n.id = m.negative JOIN code nc ON nc.id = n.id
    LEFT JOIN edition e ON e.id = m.edition LEFT JOIN code ec ON ec.id = e.id
    LEFT JOIN edition_proofs f ON f.edition = e.id AND f.kind = m.kind LEFT JOIN paper r ON r.id = m.paper
    LEFT JOIN standing t ON t.item = m.id LEFT JOIN whole p ON p.id = t.place
    LEFT JOIN party k ON k.id = t.custodian LEFT JOIN party o ON o.id = t.owner ORDER BY m.id"""
LISTS = {"plates": PLATES, "prints": PRINTS}


def pack_lists(packing: Packing, connection: sqlite3.Connection) -> None:
    """Write both lists. They say nothing that the tables do not; a bag is rebuilt without them.

    `tirage import` reads them as it reads anybody's list, so dates and sizes stand as they are read without doubt.
    """
    for name, sql in LISTS.items():
        with packing.text(f"{FOLDER}/{name}.csv") as file:
            rows = connection.execute(sql)
            head = [column[0] for column in rows.description]
            write = [_WRITERS.get(heading, _cell) for heading in head]
            done = ([form(value) for form, value in zip(write, row, strict=True)] for row in rows)
            cells.write_rows(file, head, done)


def _cell(value: object) -> object:
    return cells.written(value) if isinstance(value, str) else value


def _date(edtf: str) -> str:
    return cells.written(date_text(edtf))


def _length(micrometres: int | None) -> str:
    return length_text(micrometres) if micrometres else ""


def _size(sides: str) -> str:
    return size_text(*json.loads(sides))


_WRITERS: dict[str, Callable[[Any], object]] = {
    "made": _date, "signed": _date, "height, cm": _length, "width, cm": _length, "image size": _size,
}  # fmt: skip
