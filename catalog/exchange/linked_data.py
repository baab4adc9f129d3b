"""Linked data: a catalog's plates, editions and prints as JSON-LD 1.1, in the terms of schema.org and Dublin Core.

What is public is not decided here: the facts come from a public copy, built from the allow-list, and of the catalog
itself only the same dates and sizes are read again, exact instead of in words. The context is in the file, so that no
program has to fetch one. JSON-LD 1.1 (W3C Recommendation, 16 July 2020); dates carry the datatype of EDTF that the
Library of Congress names, http://id.loc.gov/datatypes/edtf/EDTF; unit codes are those of UN/CEFACT (CMT, centimetre).
"""

import json
import sqlite3
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

from catalog.rules.provenance import provenance
from catalog.years import to_the_year

CONTEXT: dict[str, Any] = {
    "@version": 1.1,
    "schema": "http://schema.org/",
    "dcterms": "http://purl.org/dc/terms/",
    "edtf": "http://id.loc.gov/datatypes/edtf/",
    **{
        name: f"schema:{name}"
        for name in (
            "name", "identifier", "description", "artform", "artMedium", "artworkSurface", "artEdition", "height",
            "width", "value", "unitCode", "unitText", "additionalProperty", "position", "creativeWorkStatus",
        )
    },
    **{
        name: {"@id": f"schema:{name}", "@type": "@id"}
        for name in ("creator", "isBasedOn", "exampleOfWork", "isPartOf", "image", "url", "about")
    },
    "Person": "schema:Person",
    "VisualArtwork": "schema:VisualArtwork",
    "Photograph": "schema:Photograph",
    "Collection": "schema:Collection",
    "DigitalDocument": "schema:DigitalDocument",
    "QuantitativeValue": "schema:QuantitativeValue",
    "PropertyValue": "schema:PropertyValue",
    "birthDate": {"@id": "schema:birthDate", "@type": "edtf:EDTF"},
    "deathDate": {"@id": "schema:deathDate", "@type": "edtf:EDTF"},
    "created": {"@id": "dcterms:created", "@type": "edtf:EDTF"},
    "issued": {"@id": "dcterms:issued", "@type": "edtf:EDTF"},
    "provenance": "dcterms:provenance",
}  # fmt: skip

SITE = "SELECT name, value FROM site"
SERIES = "SELECT slug, title FROM series ORDER BY position"
NEGATIVES = """SELECT n.code, n.title, n.made, n.made_where, n.process, n.support, n.size, n.description, n.picture,
    s.slug AS series FROM negative n LEFT JOIN series s ON s.id = n.series ORDER BY n.position"""
EDITIONS = """SELECT code, negative, title, size, statement, image_size, sheet_size, process, paper, toning, declared,
    state, disclosure FROM edition ORDER BY position"""
PRINTS = """SELECT p.code, p.edition, p.negative, p.designation, p.made, p.paper, p.toning, p.image_size, p.sheet_size,
    p.standing, p.grade, p.hypo, p.silver, e.title, e.process, e.size AS numbers
    FROM print p JOIN edition e ON e.code = p.edition ORDER BY p.position"""
CERTIFICATES = "SELECT code, print, issued, standing, fingerprint FROM certificate ORDER BY rowid"
LIFE = "SELECT party.born, party.died FROM party JOIN catalog ON catalog.artist = party.id"
EXACT_NEGATIVE = "SELECT n.made, n.height, n.width FROM negative n JOIN code c ON c.id = n.id WHERE c.code = ?"
EXACT_EDITION = """SELECT e.declared, e.image_height, e.image_width, e.sheet_height, e.sheet_width
    FROM edition e JOIN code c ON c.id = e.id WHERE c.code = ?"""
EXACT_PRINT = """SELECT p.made, coalesce(p.image_height, e.image_height, n.height),
    coalesce(p.image_width, e.image_width, n.width), coalesce(p.sheet_height, e.sheet_height),
    coalesce(p.sheet_width, e.sheet_width), p.id FROM print p JOIN code c ON c.id = p.id
    LEFT JOIN edition e ON e.id = p.edition JOIN negative n ON n.id = p.negative WHERE c.code = ?"""
EXACT_CERTIFICATE = "SELECT t.issued FROM certificate t JOIN code c ON c.id = t.id WHERE c.code = ?"
SHOW_ALL = ("UPDATE negative SET shown = 1", "UPDATE edition SET shown = 1")

Node = dict[str, Any]


def show_everything(copy: sqlite3.Connection) -> None:
    """Mark everything as shown, in a copy that is thrown away: what a studio takes out for itself."""
    copy.execute("PRAGMA query_only = OFF")
    for statement in SHOW_ALL:
        copy.execute(statement)


def text(public: sqlite3.Connection, catalog: sqlite3.Connection, *, private: bool = False) -> Iterator[str]:
    """The parts of the JSON-LD file, a node a line. With `private` every print tells through whose hands it went.

    `public` is a public copy of `catalog`: what is not in it is not told of, unless `private`.
    """
    yield f'{{"@context": {_json(CONTEXT)},\n"@graph": [\n'
    between = ""
    for node in nodes(public, catalog, private=private):
        yield between + _json({name: value for name, value in node.items() if value not in (None, "", [])})
        between = ",\n"
    yield "\n]}\n"


def nodes(public: sqlite3.Connection, catalog: sqlite3.Connection, *, private: bool = False) -> Iterator[Node]:
    """Artist, series, plates, editions, prints and certificates, each naming what it belongs to by its address."""
    public.row_factory = sqlite3.Row
    site = {row["name"]: row["value"] for row in public.execute(SITE)}
    base = site["address"].rstrip("/")
    artist = f"{base}/#artist"
    yield _artist(catalog, artist, site)
    for row in public.execute(SERIES):
        yield {"@id": _series(base, row["slug"]), "@type": "Collection", "name": row["title"], "creator": artist}
    for row in public.execute(NEGATIVES):
        yield _negative(catalog, base, artist, row)
    for row in public.execute(EDITIONS):
        yield _edition(catalog, base, artist, row)
    for row in public.execute(PRINTS):
        yield _print(catalog, base, artist, row, private)
    for row in public.execute(CERTIFICATES):
        yield _certificate(catalog, base, row)


def _artist(catalog: sqlite3.Connection, identity: str, site: dict[str, str]) -> Node:
    born, died = catalog.execute(LIFE).fetchone()
    years = bool(site["artist_dates"])  # the site says years, and no days
    return {"@id": identity, "@type": "Person", "name": site["artist"],
            "birthDate": to_the_year(born) if years else "",
            "deathDate": to_the_year(died) if years else ""}  # fmt: skip


def _negative(catalog: sqlite3.Connection, base: str, artist: str, row: sqlite3.Row) -> Node:
    made, height, width = catalog.execute(EXACT_NEGATIVE, (row["code"],)).fetchone()
    return {
        **_coded(base, "N", row["code"]),
        "@type": "VisualArtwork",
        "name": row["title"],
        "artform": "photographic negative",
        "creator": artist,
        "created": made if row["made"] else "",
        "artMedium": row["process"],
        "artworkSurface": row["support"],
        **(_sides(height, width) if row["size"] else {}),
        "description": row["description"],
        "isPartOf": _series(base, row["series"]) if row["series"] else "",
        "image": f"{base}/picture/{quote(row['picture'])}" if row["picture"] else "",
        "additionalProperty": [_said("place where it was made", row["made_where"])] if row["made_where"] else [],
    }


def _edition(catalog: sqlite3.Connection, base: str, artist: str, row: sqlite3.Row) -> Node:
    declared, *sizes = catalog.execute(EXACT_EDITION, (row["code"],)).fetchone()
    return {
        **_coded(base, "E", row["code"]),
        "@type": "VisualArtwork",
        "name": row["title"],
        "artform": "edition of photographic prints",
        "creator": artist,
        "isBasedOn": _address(base, "N", row["negative"]),
        "issued": declared if row["declared"] else "",
        "artEdition": row["size"],
        "artMedium": row["process"],
        "artworkSurface": row["paper"],
        **(_sides(*sizes[:2]) if row["image_size"] else {}),
        "description": " ".join(part for part in (f"{row['statement']}.", row["disclosure"]) if part),
        "creativeWorkStatus": row["state"],
        "additionalProperty": [*_sheet(row["sheet_size"], *sizes[2:]), *_told(("toning", row["toning"]))],
    }


def _print(catalog: sqlite3.Connection, base: str, artist: str, row: sqlite3.Row, private: bool) -> Node:
    made, *sizes, identity = catalog.execute(EXACT_PRINT, (row["code"],)).fetchone()
    return {
        **_coded(base, "P", row["code"]),
        "@type": ["VisualArtwork", "Photograph"],
        "name": f"{row['title']}, {row['designation']}",
        "artform": "photographic print",
        "creator": artist,
        "exampleOfWork": _address(base, "E", row["edition"]),
        "isBasedOn": _address(base, "N", row["negative"]),
        "created": made if row["made"] else "",
        "position": row["designation"],
        "artEdition": row["numbers"],
        "artMedium": row["process"],
        "artworkSurface": row["paper"],
        **(_sides(*sizes[:2]) if row["image_size"] else {}),
        "creativeWorkStatus": row["standing"],
        "additionalProperty": [
            *_sheet(row["sheet_size"], *sizes[2:]),
            *_told(
                ("toning", row["toning"]),
                ("evidence of permanence", row["grade"]),
                ("hypo left", row["hypo"]),
                ("silver left", row["silver"]),
            ),
        ],
        "provenance": provenance(catalog, identity, private=True).text if private else "",
    }


def _certificate(catalog: sqlite3.Connection, base: str, row: sqlite3.Row) -> Node:
    return {
        **_coded(base, "C", row["code"]),
        "@type": "DigitalDocument",
        "name": f"Certificate {row['code']}",
        "about": _address(base, "P", row["print"]),
        "issued": catalog.execute(EXACT_CERTIFICATE, (row["code"],)).fetchone()[0],
        "creativeWorkStatus": row["standing"],
        "additionalProperty": [_said("SHA-256 of its facts", row["fingerprint"])],
    }


def _coded(base: str, letter: str, code: str) -> Node:
    return {"@id": _address(base, letter, code), "url": _address(base, letter, code), "identifier": code}


def _address(base: str, letter: str, code: str) -> str:
    return f"{base}/{letter}/{code.upper()}"


def _series(base: str, slug: str) -> str:
    return f"{base}/S/{slug}"


def _sides(height: int | None, width: int | None) -> Node:
    if not height or not width:
        return {}
    return {"height": _length(height), "width": _length(width)}


def _sheet(said: str, height: int | None, width: int | None) -> list[Node]:
    if not said or not height or not width:
        return []
    return [
        {"@type": "PropertyValue", "name": f"sheet {side}", "value": _centimetres(length), "unitCode": "CMT"}
        for side, length in (("height", height), ("width", width))
    ]


def _length(micrometres: int) -> Node:
    return {"@type": "QuantitativeValue", "value": _centimetres(micrometres), "unitCode": "CMT", "unitText": "cm"}


def _centimetres(micrometres: int) -> int | float:
    whole, rest = divmod(micrometres, 10_000)
    return micrometres / 10_000 if rest else whole


def _told(*facts: tuple[str, str]) -> list[Node]:
    return [_said(name, value) for name, value in facts if value]


def _said(name: str, value: str) -> Node:
    return {"@type": "PropertyValue", "name": name, "value": value}


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)
