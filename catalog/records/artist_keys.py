"""The artist's signing keys: public ones in the catalog for ever, private ones in a folder of their own."""

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from catalog import signing
from catalog.errors import TirageError
from catalog.store.rows import fetch_all, fetch_one

FOLDER = "keys"
ADD = "INSERT INTO artist_key (thumbprint, x, since) VALUES (?, ?, ?)"
ALL = "SELECT id, thumbprint, x, since FROM artist_key ORDER BY id"
NEWEST = "SELECT id, thumbprint, x, since FROM artist_key ORDER BY id DESC LIMIT 1"


class NoKeyError(TirageError):
    """A private key that is not where it is kept."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"The private key {path.parent.name}/{path.name} is not there, so nothing can be signed; "
            f"expected it in the catalog's folder. Bring it back from where it is kept safe."
        )


class WrongKeyError(TirageError):
    """A private key that does not belong to the public one."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path.parent.name}/{path.name} holds another key than the catalog knows; nothing was "
            f"signed. Bring back the right one from where it is kept safe."
        )


class KeyLockedError(TirageError):
    """A private key that this user may not read."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"The private key {path.parent.name}/{path.name} cannot be read ({reason}); expected a file "
            f"that is yours alone (mode 0600). Change its owner or its mode."
        )


@dataclass(frozen=True)
class ArtistKey:
    """One public key."""

    id: int
    thumbprint: str
    x: str
    since: str


@dataclass(frozen=True)
class PrivateKey:
    """A key that can sign; `doubt` is a sentence for the person when others could read its file."""

    id: int
    thumbprint: str
    pem: bytes
    doubt: str = ""

    def __repr__(self) -> str:
        return f"PrivateKey({self.thumbprint})"  # never the key itself, not even in a log


def begin(connection: sqlite3.Connection, folder: Path, day: str) -> ArtistKey:
    """Make a key: keys/ (mode 0700) with the private half (mode 0600), and the public half in the catalog."""
    pem, x = signing.new_key()
    thumbprint = signing.thumbprint(x)
    keys = folder / FOLDER
    keys.mkdir(mode=0o700, exist_ok=True)
    keys.chmod(0o700)
    path = path_of(folder, thumbprint)
    with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(pem)
    path.chmod(0o600)
    cursor = connection.execute(ADD, (thumbprint, x, day))
    return ArtistKey(int(cursor.lastrowid or 0), thumbprint, x, day)


def path_of(folder: Path, thumbprint: str) -> Path:
    """Where the private half of a key is kept."""
    return folder / FOLDER / f"{thumbprint[:16]}.pem"


def newest(connection: sqlite3.Connection) -> ArtistKey:
    """The key that signs now."""
    key = fetch_one(connection, ArtistKey, NEWEST)
    if key is None:
        raise TirageError("This catalog has no key, so nothing can be signed; expected the one made when it began.")
    return key


def private_key(connection: sqlite3.Connection, folder: Path) -> PrivateKey:
    """The key that signs now, both halves. Raises NoKeyError, WrongKeyError, KeyLockedError, KeyUnreadableError."""
    key = newest(connection)
    path = path_of(folder, key.thumbprint)
    try:
        pem = path.read_bytes()
    except FileNotFoundError:
        raise NoKeyError(path) from None
    except OSError as problem:
        raise KeyLockedError(path, problem.strerror or "no access") from None
    if signing.public_half(pem) != key.x:
        raise WrongKeyError(path)
    others = os.name == "posix" and path.stat().st_mode & 0o077
    doubt = (
        f"Mind: others on this machine can read {FOLDER}/{path.name}; make it yours alone: chmod 600." if others else ""
    )
    return PrivateKey(key.id, key.thumbprint, pem, doubt)


def public_keys(connection: sqlite3.Connection) -> dict[str, str]:
    """Thumbprint -> x of every key there ever was."""
    return {key.thumbprint: key.x for key in fetch_all(connection, ArtistKey, ALL)}


def jwk(connection: sqlite3.Connection) -> dict[str, object]:
    """All public keys as a JWK set, to be handed on."""
    return {
        "keys": [
            {"kty": "OKP", "crv": "Ed25519", "x": key.x, "kid": key.thumbprint}
            for key in fetch_all(connection, ArtistKey, ALL)
        ]
    }
