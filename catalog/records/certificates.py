"""Certificates: one signed statement for one print, its facts frozen when it is issued."""

import json
import sqlite3
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, NamedTuple

from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.records import artist_keys, catalogs
from catalog.records.items import Coded, code_of, give_codes
from catalog.store.rows import fetch_all, fetch_one

if TYPE_CHECKING:
    from catalog.records.private_keys import KeyRing, PrivateKey

FORMAT = "certificate of a print, 1"
JWS_FILE = "certificate.jws"  # the statement, as it is attached to its paper
READ = """SELECT c.id, code.code, c.print, p.code, c.issued, c.facts, c.private_facts, c.jws, k.thumbprint,
    c.supersedes, c.by, coalesce(e.event, 'valid'), coalesce(e.why, ''), coalesce(e.happened, ''),
    coalesce(later.code, ''), c.slip, k.x
    FROM certificate c JOIN code ON code.id = c.id JOIN code p ON p.id = c.print JOIN artist_key k ON k.id = c.key
    LEFT JOIN certificate_event e ON e.certificate = c.id
    LEFT JOIN certificate l ON l.supersedes = c.id LEFT JOIN code later ON later.id = l.id"""
ADD = """INSERT INTO certificate (id, print, issued, earliest, latest, facts, private_facts, jws, key, supersedes, by,
    slip) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"""
ADD_EVENT = "INSERT INTO certificate_event (certificate, event, why, happened, by) VALUES (?, ?, ?, ?, ?)"
PRINT = """SELECT signed, state, coalesce((SELECT estate FROM edition WHERE id = print.edition), 0)
    FROM print WHERE id = ?"""
WITHOUT = """SELECT p.id, code.code, 'print' FROM print p JOIN code ON code.id = p.id
    WHERE p.edition = ? AND p.signed <> '' AND p.state = 'living' AND NOT EXISTS (SELECT 1 FROM certificate c
    WHERE c.print = p.id AND NOT EXISTS (SELECT 1 FROM certificate_event WHERE certificate = c.id)) ORDER BY p.id"""


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


class Certificate(NamedTuple):
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
    slip: str
    x: str

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
    keys: "KeyRing",
    supersedes: int | None = None,
) -> Certificate:
    """Freeze and sign the facts of one print under a new code, by the artist's key or by the estate's.

    Raises NotSignedError, PrintGoneError, SecondCertificateError, NotStandingError, AfterDeathError,
    SlipTooLongError, and as KeyRing.signing does.
    """
    _refuse(connection, print_id, supersedes)
    from catalog import signing
    from catalog.records import slips

    key = keys.signing(connection, holder(connection, event, print_id))
    thing = give_codes(connection, "certificate")[0]
    secret = _salted(private)
    said = _said(connection, event, thing.code, key, supersedes) | {"private_facts": signing.fingerprint(secret)}
    facts = signing.canonical({**public, **said})
    jws = signing.sign(key.pem, facts, key.thumbprint)
    slip = slips.signed({**public, **said}, facts, key.pem, key.thumbprint)
    frozen = (facts.decode(), secret.decode(), jws, key.id, supersedes, event.by, slip)
    if supersedes:
        why = event.note or f"superseded by {thing.code}"
        connection.execute(ADD_EVENT, (supersedes, "superseded", why, event.moment.date, event.by))
    connection.execute(ADD, (thing.id, print_id, *event.columns[:3], *frozen))
    return read(connection, thing.id)


def _said(
    connection: sqlite3.Connection, event: Event, code: str, key: "PrivateKey", supersedes: int | None
) -> dict[str, Any]:
    """What a certificate says of itself beside the facts of its print."""
    from catalog.store.journal import last_digest

    return {
        "format": FORMAT,
        "certificate": code,
        "issued": event.moment.date,
        "issued_by": f"the {key.holder}",
        "supersedes": code_of(connection, supersedes) if supersedes else None,
        "journal": last_digest(connection),
        "key": key.thumbprint,
    }


def _salted(private: Mapping[str, Any]) -> bytes:
    """Private facts with a salt, so that nobody finds out from their digest by guessing."""
    import secrets

    from catalog import signing

    return signing.canonical({**private, "salt": secrets.token_hex(16)})


def holder(connection: sqlite3.Connection, event: Event, print_id: int) -> str:
    """Whose key certifies a print at an event: the estate's for its own editions, and for all after the death.

    Raises AfterDeathError where the artist is dead and the estate has no key yet.
    """
    if connection.execute(PRINT, (print_id,)).fetchone()[2]:
        return "estate"
    artist = catalogs.artist(connection)
    if not artist.dead_on(event.moment.latest):
        return "artist"
    if artist_keys.newest(connection, "estate") is None:
        raise artist_keys.AfterDeathError(artist.name, artist.died)
    return "estate"


def without(connection: sqlite3.Connection, edition: int) -> list[Coded]:
    """The signed, living prints of an edition that have no valid certificate."""
    return fetch_all(connection, Coded, WITHOUT, (edition,))


def revoke(connection: sqlite3.Connection, event: Event, identity: int, why: str) -> Certificate:
    """End a certificate; it stays on record, and so does the reason. Raises NotStandingError."""
    if not why.strip():
        raise NotUnderstood("a reason", why, "--why REASON, which the record keeps")
    found = read(connection, identity)
    if found.standing != "valid":
        raise NotStandingError(found.code, f"is {found.standing} already")
    connection.execute(ADD_EVENT, (identity, "revoked", why.strip(), event.moment.date, event.by))
    return read(connection, identity)


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


def _refuse(connection: sqlite3.Connection, print_id: int, supersedes: int | None) -> None:
    code = code_of(connection, print_id)
    signed, state, _ = connection.execute(PRINT, (print_id,)).fetchone()
    if state != "living":
        raise PrintGoneError(code, state)
    if not signed:
        raise NotSignedError(code)
    if supersedes is not None:
        earlier = read(connection, supersedes)
        if earlier.print_id != print_id:
            raise NotStandingError(earlier.code, f"is of {earlier.print_code}, not of {code}")
        if earlier.standing != "valid":
            raise NotStandingError(earlier.code, f"is {earlier.standing} already")
    for other in of_print(connection, print_id):
        if other.standing == "valid" and other.id != supersedes:
            raise SecondCertificateError(code, other.code)
