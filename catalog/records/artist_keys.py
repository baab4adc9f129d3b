"""The keys that sign, their public halves: kept for ever, each naming the one it follows and that one's word for it."""

import json
import sqlite3
from collections.abc import Mapping
from typing import Any, Literal, NamedTuple

from catalog.dates import parse_date
from catalog.errors import NotUnderstood, TirageError
from catalog.events import Event
from catalog.store.rows import fetch_all

Holder = Literal["artist", "estate"]
FORMAT = "succession of a key, 1"
ADD = """INSERT INTO artist_key (thumbprint, x, since, holder, follows, succession, why)
    VALUES (?, ?, ?, ?, ?, ?, ?)"""
ADD_END = "INSERT INTO artist_key_end (key, why, happened, earliest, latest, by) VALUES (?, ?, ?, ?, ?, ?)"
READ = """SELECT k.id, k.thumbprint, k.x, k.since, k.holder, coalesce(f.thumbprint, ''), k.succession, k.why,
    coalesce(e.happened, ''), coalesce(e.latest, ''), coalesce(e.why, '')
    FROM artist_key k LEFT JOIN artist_key f ON f.id = k.follows LEFT JOIN artist_key_end e ON e.key = k.id"""
SIGNED_LATER = """SELECT code.code FROM certificate c JOIN code ON code.id = c.id JOIN artist_key_end e ON e.key = c.key
    WHERE c.key = ? AND c.earliest > e.latest AND e.latest <> ''
    AND NOT EXISTS (SELECT 1 FROM certificate_event v WHERE v.certificate = c.id AND v.event = 'revoked')
    ORDER BY c.id"""
SIGNED_AFTER = """SELECT code.code FROM certificate c JOIN code ON code.id = c.id WHERE c.key = ? AND c.earliest > ?
    AND NOT EXISTS (SELECT 1 FROM certificate_event v WHERE v.certificate = c.id AND v.event = 'revoked')
    ORDER BY c.id LIMIT 1"""


class NoSuchKeyError(TirageError):
    """A key that the catalog does not hold, or that signs no more."""

    def __init__(self, text: str, reason: str) -> None:
        super().__init__(
            f"“{text}” {reason}; expected artist, estate, or the first signs of a thumbprint. See: tirage key show."
        )


class SignedLaterError(TirageError):
    """The end of a key before the day of something that it signed."""

    def __init__(self, certificate: str, day: str) -> None:
        super().__init__(
            f"{certificate} was signed with this key after {day}; a key ends on the day it last signed, or later. "
            f"Give another date with --on, or first revoke the certificate: tirage certificate revoke {certificate} "
            f"--why REASON."
        )


class AfterDeathError(TirageError):
    """A signature of the artist's after the artist's death."""

    def __init__(self, name: str, died: str) -> None:
        super().__init__(
            f"{name} died {parse_date(died).text()}; nothing is signed with the artist's key after that, the estate "
            f"has a key of its own: tirage key renew --estate. If it was signed before the death, give the true date "
            f"with --on DATE."
        )


class ArtistKey(NamedTuple):
    """One public key: whose, since when, which key it follows with its word for it, and how it ended."""

    id: int
    thumbprint: str
    x: str
    since: str
    holder: str
    follows: str
    succession: str
    why: str
    ended: str
    ended_latest: str
    ended_why: str

    @property
    def jwk(self) -> dict[str, str]:
        """The key as JSON (RFC 8037), to be handed on: its last day, if it ended, and the word of the key before it."""
        key = {"kty": "OKP", "crv": "Ed25519", "x": self.x, "kid": self.thumbprint}
        key |= {"holder": self.holder, "since": self.since}
        key |= {"ended": self.ended_latest} if self.ended_latest else {}
        return key | {"succession": self.succession} if self.succession else key


def add(
    connection: sqlite3.Connection,
    x: str,
    day: str,
    holder: Holder = "artist",
    follows: ArtistKey | None = None,
    succession: str = "",
    why: str = "",
) -> ArtistKey:
    """Enter a public key."""
    from catalog import signing

    row = (signing.thumbprint(x), x, day, holder, follows.id if follows else None, succession, why)
    cursor = connection.execute(ADD, row)
    return fetch_all(connection, ArtistKey, f"{READ} WHERE k.id = ?", (cursor.lastrowid,))[0]


def end(connection: sqlite3.Connection, event: Event, key: ArtistKey, why: str) -> ArtistKey:
    """End a key: it signs nothing from then on. Raises NoSuchKeyError, SignedLaterError."""
    if not why.strip():
        raise NotUnderstood("a reason", why, "--why REASON, which the record keeps")
    if key.ended:
        raise NoSuchKeyError(key.thumbprint[:8], f"ended already ({key.ended}: {key.ended_why})")
    later = connection.execute(SIGNED_AFTER, (key.id, event.moment.latest)).fetchone()
    if later:
        raise SignedLaterError(later[0], event.moment.text())
    connection.execute(ADD_END, (key.id, why.strip(), *event.columns[:3], event.by))
    return fetch_all(connection, ArtistKey, f"{READ} WHERE k.id = ?", (key.id,))[0]


def all_keys(connection: sqlite3.Connection) -> list[ArtistKey]:
    """Every key there ever was, oldest first."""
    return fetch_all(connection, ArtistKey, f"{READ} ORDER BY k.id")


def newest(connection: sqlite3.Connection, holder: str) -> ArtistKey | None:
    """The newest key of a holder, ended or not."""
    found = fetch_all(connection, ArtistKey, f"{READ} WHERE k.holder = ? ORDER BY k.id DESC LIMIT 1", (holder,))
    return found[0] if found else None


def signing_key(connection: sqlite3.Connection, holder: str) -> ArtistKey | None:
    """The key of a holder that signs now, if there is one."""
    found = newest(connection, holder)
    return None if found is None or found.ended else found


def named(connection: sqlite3.Connection, text: str) -> ArtistKey:
    """The key a person means: artist, estate, or the first signs of a thumbprint. Raises NoSuchKeyError."""
    if text in ("artist", "estate"):
        found = newest(connection, text)
        if found is None:
            raise NoSuchKeyError(text, "has no key here")
        return found
    keys = [key for key in all_keys(connection) if text and key.thumbprint.startswith(text)]
    if len(keys) != 1:
        raise NoSuchKeyError(text, "names no key" if not keys else "names several keys")
    return keys[0]


def lineage(connection: sqlite3.Connection, thumbprint: str) -> tuple[ArtistKey, ...]:
    """A key and all it follows, oldest first."""
    known = {key.thumbprint: key for key in all_keys(connection)}
    line: list[ArtistKey] = []
    while thumbprint in known and known[thumbprint] not in line:
        line.append(known[thumbprint])
        thumbprint = line[-1].follows
    return tuple(reversed(line))


def public_keys(connection: sqlite3.Connection) -> dict[str, str]:
    """Thumbprint -> x of every key there ever was; each thumbprint is worked out, as a row may have been forged."""
    from catalog import signing

    return {signing.thumbprint(key.x): key.x for key in all_keys(connection)}


def ends(connection: sqlite3.Connection) -> dict[str, str]:
    """Thumbprint, worked out -> the last day of every key that ended."""
    from catalog import signing

    return {signing.thumbprint(key.x): key.ended_latest for key in all_keys(connection) if key.ended_latest}


def jwk(connection: sqlite3.Connection) -> dict[str, object]:
    """All public keys as a JWK set, to be handed on."""
    return {"keys": [key.jwk for key in all_keys(connection)]}


def succession_statement(x: str, holder: str, since: str, follows: str) -> bytes:
    """What a key signs for the one that follows it."""
    from catalog import signing

    said = {"format": FORMAT, "key": signing.thumbprint(x), "x": x, "holder": holder, "since": since}
    return signing.canonical({**said, "follows": follows})


def succeeds(jwk: dict[str, Any], keys: Mapping[str, str], ends: Mapping[str, str] | None = None) -> bool:
    """Whether one of `keys` (thumbprint -> x) vouches for a handed-on key by its statement of succession.

    A key that ended (`ends`: thumbprint -> last day) vouches for none that begins after its last day.
    """
    from catalog import signing

    try:
        found = json.loads(signing.claimed(jwk["succession"]), object_pairs_hook=signing.no_twins)
        follows = found["follows"]
        signing.verify(jwk["succession"], {follows: keys[follows]})
        if ended_before(found["since"], (ends or {}).get(follows, "")):
            return False
        return bool(
            signing.canonical(found) == succession_statement(jwk["x"], found["holder"], found["since"], follows)
        )
    except (TirageError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return False


def ended_before(date: str, last_day: str) -> bool:
    """Whether a date is after the last day of a key; with no last day it is not. Raises NotUnderstood."""
    return bool(last_day) and parse_date(date).earliest > last_day


def succession_problems(connection: sqlite3.Connection) -> list[str]:
    """What is wrong with the chain of keys, in sentences; empty when every word of a key for the next one holds."""
    from catalog import signing

    problems, known = [], {key.thumbprint: key for key in all_keys(connection)}
    for key in known.values():
        name = f"The {key.holder}'s key {key.thumbprint[:8]} (since {key.since})"
        if signing.thumbprint(key.x) != key.thumbprint:
            problems.append(f"{name} has not the thumbprint it is recorded under.")
        before = known.get(key.follows)
        if before is None and key.succession:
            problems.append(f"{name} bears the word of a key, but of which one is not recorded.")
        elif before is not None and key.succession:
            said = json.loads(json.dumps(key.jwk))
            if not succeeds(said, {before.thumbprint: before.x}) or _holder_and_since(key) != (key.holder, key.since):
                problems.append(
                    f"{name} says that {before.thumbprint[:8]} signed for it, but that statement does not hold."
                )
        elif before is not None and not key.why:
            problems.append(f"{name} follows {before.thumbprint[:8]} without its word, and no reason is recorded.")
        later = [row[0] for row in connection.execute(SIGNED_LATER, (key.id,))]
        if later:
            problems.append(f"{name} ended {key.ended}, yet it signed {', '.join(later[:6])} after that.")
    return problems


def standing_alone(key: ArtistKey, first: bool) -> str:
    """The sentence about a key that no other key signed for, "" where one did or where it is the first."""
    if key.succession or (first and not key.follows and not key.why):
        return ""
    return f"No other key signed for this one: {key.why or 'no reason is recorded'}."


def _holder_and_since(key: ArtistKey) -> tuple[str, str]:
    """Holder and beginning as the statement of succession has them."""
    from catalog import signing

    found = json.loads(signing.decode(key.succession.split(".")[1]))
    return str(found.get("holder")), str(found.get("since"))
