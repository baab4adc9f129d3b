"""Two lists for people, beside the tables: every plate and every print on one line, by code and in words."""

import sqlite3

from catalog.exchange import cells
from catalog.exchange.bag.packing import Packing

FOLDER = "lists"
PATHS = """WITH RECURSIVE whole(id, path) AS (SELECT id, name FROM place WHERE parent IS NULL
    UNION ALL SELECT p.id, whole.path || '/' || p.name FROM place p JOIN whole ON p.parent = whole.id)\n"""
PLATES = f"""{PATHS} SELECT c.code AS code, n.title AS title, coalesce(s.title, '') AS series, n.made AS made,
    n.process AS process, n.support AS support, n.height / 10000.0 AS "height, cm", n.width / 10000.0 AS "width, cm",
    n.state AS state, coalesce(p.path, '') AS place, coalesce(k.name, '') AS "who has it",
    coalesce(o.name, '') AS owner, n.mark AS "mark on the plate", n.note AS note
    FROM negative n JOIN code c ON c.id = n.id LEFT JOIN series s ON s.id = n.series
    LEFT JOIN standing t ON t.item = n.id LEFT JOIN whole p ON p.id = t.place
    LEFT JOIN party k ON k.id = t.custodian LEFT JOIN party o ON o.id = t.owner ORDER BY n.id"""
PRINTS = f"""{PATHS} SELECT c.code AS code, coalesce(e.title, n.title) AS title, nc.code AS plate,
    coalesce(ec.code, '') AS edition,
    coalesce(m.kind, '') AS kind, m.number AS number,
    CASE WHEN m.kind = 'numbered' THEN e.size ELSE f.count END AS "of",
    m.made AS made, m.signed AS signed, coalesce(r.description, '') AS paper,
    coalesce(m.image_height, e.image_height, n.height) / 10000.0 AS "image height, cm",
    coalesce(m.image_width, e.image_width, n.width) / 10000.0 AS "image width, cm",
    m.state AS state, coalesce(p.path, '') AS place, coalesce(k.name, '') AS "who has it",
    coalesce(o.name, '') AS owner, m.note AS note
    FROM print m JOIN code c ON c.id = m.id JOIN negative n ON n.id = m.negative JOIN code nc ON nc.id = n.id
    LEFT JOIN edition e ON e.id = m.edition LEFT JOIN code ec ON ec.id = e.id
    LEFT JOIN edition_proofs f ON f.edition = e.id AND f.kind = m.kind LEFT JOIN paper r ON r.id = m.paper
    LEFT JOIN standing t ON t.item = m.id LEFT JOIN whole p ON p.id = t.place
    LEFT JOIN party k ON k.id = t.custodian LEFT JOIN party o ON o.id = t.owner ORDER BY m.id"""
LISTS = {"plates": PLATES, "prints": PRINTS}


def pack_lists(packing: Packing, connection: sqlite3.Connection) -> None:
    """Write both lists. They say nothing that the tables do not, and are not read again."""
    for name, sql in LISTS.items():
        with packing.text(f"{FOLDER}/{name}.csv") as file:
            rows = connection.execute(sql)
            head = [column[0] for column in rows.description]
            cells.write_rows(file, head, ([_cell(value) for value in row] for row in rows))


def _cell(value: object) -> object:
    if isinstance(value, float):
        return f"{value:g}"
    return cells.written(value) if isinstance(value, str) else value
