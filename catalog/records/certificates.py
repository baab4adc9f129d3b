"""Certificates: one signed statement for one print, its facts frozen when it is issued."""

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import catalogs
from catalog.records.items import code_of, give_codes
from catalog.store.rows import fetch_all, fetch_one

FORMAT = "certificate of a print, 1"
READ = """SELECT c.id, code.code, c.print, p.code, c.issued, c.facts, c.private_facts, c.jws, k.thumbprint,
    c.supersedes, c.by, coalesce(e.event, 'valid'), coalesce(e.why, ''), coalesce(e.happened, ''),
    coalesce(later.code, '')
    FROM certificate c JOIN code ON code.id = c.id JOIN code p ON p.id = c.print JOIN artist_key k ON k.id = c.key
    LEFT JOIN certificate_event e ON e.certificate = c.id
    LEFT JOIN certificate l ON l.supersedes = c.id LEFT JOIN code later ON later.id = l.id"""
ADD = """INSERT INTO certificate (id, print, issued, earliest, latest, facts, private_facts, jws, key, supersedes, by)
    VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_EVENT = "INSERT INTO certificate_event (certificate, event, why, happened, by) VALUES (?, ?, ?, ?, ?)"
PRINT = "SELECT signed, state FROM print WHERE id = ?"


class NotSignedError(TirageError):
    """A certificate for a print that nobody signed."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} is not signed, and a certificate is issued for a signed print. Sign it first: tirage sign {code}."
        )


class PrintGoneError(TirageError):
    """A certificate for a print that is destroyed or lost."""

    def __init__(self, code: str, state: str) -> None:
        super().__init__(
            f"{code} is {state}; a certificate is issued for a print that is there. Name another print"
            + (", or record first that it was found." if state == "lost" else ".")
        )


class SecondCertificateError(TirageError):
    """A second valid certificate for one print."""

    def __init__(self, print_code: str, valid: str) -> None:
        super().__init__(
            f"{print_code} has the valid certificate {valid}, and one print has one. Draw it again with "
            f"tirage certificate show {valid} --draw, or replace it: --supersedes {valid}."
        )


class NotStandingError(TirageError):
    """A certificate that is revoked or superseded already, or of another print."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(
            f"{code} {reason}; expected a valid certificate of the same print. See: tirage certificate list."
        )


class AfterDeathError(TirageError):
    """A signature with the artist's key after the artist's death."""

    def __init__(self, name: str, died: str) -> None:
        super().__init__(
            f"{name} died {died}; nothing is signed with the artist's key after that. "
            f"Give the true date with --on DATE if it was before."
        )


@dataclass(frozen=True)
class Certificate:
    """One certificate, with what became of it: `standing` is valid, superseded or revoked."""

    id: int
    code: str
    print_id: int
    print_code: str
    issued: str
    facts: str
    private_facts: str
    jws: str
    thumbprint: str
    supersedes: int | None
    by: str
    standing: str
    why: str
    ended: str
    superseded_by: str

    @property
    def public(self) -> dict[str, Any]:
        """The frozen public facts."""
        facts: dict[str, Any] = json.loads(self.facts)
        return facts

    @property
    def fingerprint(self) -> str:
        """SHA-256 of the public facts, hexadecimal."""
        from catalog import signing  # here, so that showing a print does not load what signs

        return signing.fingerprint(self.facts.encode())


def issue(
    connection: sqlite3.Connection,
    event: Event,
    print_id: int,
    public: Mapping[str, Any],
    private: Mapping[str, Any],
    folder: Path,
    supersedes: int | None = None,
) -> Certificate:
    """Freeze and sign the facts of one print under a new code.

    Raises NotSignedError, PrintGoneError, SecondCertificateError, NotStandingError, AfterDeathError, and as
    artist_keys.private_key does.
    """
    _refuse(connection, event, print_id, supersedes)
    import secrets

    from catalog import signing
    from catalog.records import artist_keys
    from catalog.store.journal import last_digest

    key = artist_keys.private_key(connection, folder)
    thing = give_codes(connection, "certificate")[0]
    secret = signing.canonical({**private, "salt": secrets.token_hex(16)})
    facts = signing.canonical(
        {
            **public,
            "format": FORMAT,
            "certificate": thing.code,
            "issued": event.moment.date,
            "supersedes": code_of(connection, supersedes) if supersedes else None,
            "journal": last_digest(connection),
            "key": key.thumbprint,
            "private_facts": signing.fingerprint(secret),
        }
    )
    jws = signing.sign(key.pem, facts, key.thumbprint)
    connection.execute(
        ADD,
        (thing.id, print_id, *event.columns[:3], facts.decode(), secret.decode(), jws, key.id, supersedes, event.by),
    )
    if supersedes:
        connection.execute(
            ADD_EVENT,
            (supersedes, "superseded", event.note or f"superseded by {thing.code}", event.moment.date, event.by),
        )
    return read(connection, thing.id)


def revoke(connection: sqlite3.Connection, event: Event, identity: int, why: str) -> Certificate:
    """End a certificate; it stays on record, and so does the reason. Raises NotStandingError."""
    if not why.strip():
        raise NotUnderstood("a reason", why, "--why REASON, which the record keeps")
    found = read(connection, identity)
    if found.standing != "valid":
        raise NotStandingError(found.code, f"is {found.standing} already")
    connection.execute(ADD_EVENT, (identity, "revoked", why.strip(), event.moment.date, event.by))
    return read(connection, identity)


def standing(connection: sqlite3.Connection, certificate: Certificate) -> str:
    """What became of a certificate by now: valid, superseded or revoked."""
    return read(connection, certificate.id).standing


def read(connection: sqlite3.Connection, identity: int) -> Certificate:
    """One certificate by its identity."""
    found = fetch_one(connection, Certificate, f"{READ} WHERE c.id = ?", (identity,))
    assert found is not None, identity
    return found


def coded(connection: sqlite3.Connection, code: str) -> Certificate | None:
    """The certificate of a code, or None."""
    return fetch_one(connection, Certificate, f"{READ} WHERE code.code = ?", (code,))


def of_print(connection: sqlite3.Connection, print_id: int) -> list[Certificate]:
    """All certificates ever issued for a print, oldest first."""
    return fetch_all(connection, Certificate, f"{READ} WHERE c.print = ? ORDER BY c.id", (print_id,))


def listed(connection: sqlite3.Connection) -> list[Certificate]:
    """All certificates, oldest first."""
    return fetch_all(connection, Certificate, f"{READ} ORDER BY c.id")


def _refuse(connection: sqlite3.Connection, event: Event, print_id: int, supersedes: int | None) -> None:
    code = code_of(connection, print_id)
    signed, state = connection.execute(PRINT, (print_id,)).fetchone()
    if state != "living":
        raise PrintGoneError(code, state)
    if not signed:
        raise NotSignedError(code)
    refuse_after_death(connection, event)
    if supersedes is not None:
        earlier = read(connection, supersedes)
        if earlier.print_id != print_id:
            raise NotStandingError(earlier.code, f"is of {earlier.print_code}, not of {code}")
        if earlier.standing != "valid":
            raise NotStandingError(earlier.code, f"is {earlier.standing} already")
    for other in of_print(connection, print_id):
        if other.standing == "valid" and other.id != supersedes:
            raise SecondCertificateError(code, other.code)


def refuse_after_death(connection: sqlite3.Connection, event: Event) -> None:
    """Raise AfterDeathError when the artist was dead by then: nothing is signed with the artist's key any more."""
    artist = catalogs.artist(connection)
    if artist.died_latest and event.moment.earliest > artist.died_latest:
        raise AfterDeathError(artist.name, artist.died)
