"""Certificates and public keys as files that can be checked without this program. Private keys are never among them."""

import base64
import json
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from catalog.errors import TirageError
from catalog.exchange.bag.layout import CERTIFICATES, KEYS
from catalog.exchange.bag.packing import Packing
from catalog.records import artist_keys
from catalog.whole_files import open_plain

CERTIFIED = """SELECT code.code, c.facts, c.private_facts, c.jws, c.slip FROM certificate c
    JOIN code ON code.id = c.id ORDER BY c.id"""
OUT = "out"
PAPERS = ("certificate-{}.pdf", "certificate-with-buyer-{}.pdf")
PUBLIC_KEY_HEAD = bytes.fromhex("302a300506032b6570032100")  # SubjectPublicKeyInfo of Ed25519; RFC 8410, 4 and 10.1


def pack_certificates(packing: Packing, connection: sqlite3.Connection, catalog: Path) -> None:
    """A folder a certificate: what it states, what was signed, and the paper where it is kept."""
    for code, facts, private_facts, jws, slip in connection.execute(CERTIFIED):
        folder = f"{CERTIFICATES}/{code}"
        for name, text in (("facts.json", facts), ("private-facts.json", private_facts), ("statement.jws", jws),
                           ("square.jws", slip)):  # fmt: skip
            if text:
                packing.add_text(f"{folder}/{name}", text + "\n" * name.endswith(".jws"))
        for path in papers_of(code, catalog):
            with open_plain(path) as file:
                packing.add_file(f"{folder}/{path.name}", file)


def papers_of(code: str, catalog: Path) -> Iterator[Path]:
    """The papers of a certificate that are kept in out/."""
    for name in PAPERS:
        path = catalog / OUT / name.format(code)
        if path.is_file() and not path.is_symlink():
            yield path


def pack_keys(packing: Packing, connection: sqlite3.Connection) -> None:
    """Every public key as JSON (RFC 7517, RFC 8037) and as PEM (RFC 7468), and all together as one set."""
    packing.add_text(f"{KEYS}/all-keys.json", _json(artist_keys.jwk(connection)))
    for key in artist_keys.all_keys(connection):
        name = f"{KEYS}/{file_stem(key)}"
        packing.add_text(f"{name}.json", _json(key.jwk))
        pem = public_pem(key.x)
        if pem:
            packing.add_text(f"{name}.pem", pem)


def file_stem(key: artist_keys.ArtistKey) -> str:
    """“artist-2019-03-01-loksrIfj”: whose key, since when, the first signs of its thumbprint."""
    return f"{key.holder}-{key.since}-{key.thumbprint[:8]}"


def public_pem(x: str) -> str:
    """A public key as PEM, "" where it is none."""
    from catalog import signing

    try:
        raw = signing.decode(x)
    except TirageError:
        return ""
    if len(raw) != 32:
        return ""
    body = base64.b64encode(PUBLIC_KEY_HEAD + raw).decode()
    return f"-----BEGIN PUBLIC KEY-----\n{body}\n-----END PUBLIC KEY-----\n"


def _json(value: object) -> str:
    return json.dumps(value, ensure_ascii=False, indent=1) + "\n"
