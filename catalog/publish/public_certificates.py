"""Certificates and keys: what of them may leave the studio."""

import json
import sqlite3

from catalog.publish.public_words import date_words
from catalog.records import artist_keys, certificates
from catalog.signing import grouped

NAMEABLE = "SELECT name FROM party WHERE nameable = 1 OR id = (SELECT artist FROM catalog)"
HOLDERS = {"artist": "the artist", "estate": "the artist’s estate"}
ADD_CERTIFICATE = "INSERT INTO certificate VALUES (?, ?, ?, ?, ?, ?, ?, ?)"
ADD_KEY = "INSERT INTO key VALUES (?, ?, ?, ?, ?, ?)"


def copy_keys(source: sqlite3.Connection, public: sqlite3.Connection) -> None:
    """Copy the public half of every key there ever was: what it signed stays to be checked."""
    public.executemany(
        ADD_KEY,
        [
            (key.thumbprint, key.x, HOLDERS[key.holder], date_words(key.since), date_words(key.ended), key.ended_latest)
            for key in artist_keys.all_keys(source)
        ],
    )


def copy_certificates(source: sqlite3.Connection, public: sqlite3.Connection) -> None:
    """Copy the certificates of the prints that were copied before.

    Why one was revoked is free text and may name a person: the bare fact is enough.
    """
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
