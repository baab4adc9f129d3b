"""Canonical facts and their signatures: RFC 8785, Ed25519, and the compact form of RFC 7515."""

import base64
import binascii
import hashlib
import json
import re
import unicodedata
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any

from catalog.errors import TirageError

ALGORITHM = "Ed25519"  # RFC 9864, section 2.2
ACCEPTED = frozenset({"Ed25519", "EdDSA"})  # the older, wider name: RFC 8037, section 3.1
PART = re.compile(r"[A-Za-z0-9_-]*")
DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
SAFE_INTEGER = 2**53 - 1  # RFC 8785, section 3.2.2.3, after RFC 7493, section 2.2


class BadSignatureError(TirageError):
    """A signature that does not belong to what it stands under."""

    def __init__(self) -> None:
        super().__init__(
            "The signature does not fit the facts: something was altered after signing. "
            "Ask the studio for the document as it was issued."
        )


class UnknownKeyError(TirageError):
    """A signature by a key that is not among those at hand."""

    def __init__(self, kid: str) -> None:
        self.kid = kid
        super().__init__(
            f"This was signed with the key {kid or '(not named)'}, which is not among the keys at hand; "
            f"expected a key of the studio. Give it with --key FILE, or type what the paper has as public key."
        )


class UnreadableError(TirageError):
    """Text that is no signed statement of the kind made here."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"This is no signed statement that can be read here: {reason}; expected a certificate's PDF "
            f"or its certificate.jws, whole and unchanged."
        )


class NotCanonicalError(TirageError):
    """A value that has no one way of being written."""

    def __init__(self, value: object) -> None:
        super().__init__(
            f"“{value!r:.60}” cannot stand in signed facts; expected text, whole numbers of at most 15 "
            f"digits, yes and no, lists and named values. Write it as text."
        )


class KeyUnreadableError(TirageError):
    """Bytes that are no Ed25519 key."""

    def __init__(self, what: str) -> None:
        super().__init__(
            f"The {what} key cannot be read; expected Ed25519: a private key as PEM, a public one as JSON "
            f"(kty, crv, x) or as the 43 characters of x alone."
        )


def canonical(value: object) -> bytes:
    """The one way of writing facts, RFC 8785, all text as NFC. Raises NotCanonicalError, for fractions too."""
    import rfc8785

    return rfc8785.dumps(_plain(value))


def _plain(value: Any) -> Any:
    if value is None or isinstance(value, bool):
        return value
    if isinstance(value, int) and abs(value) <= SAFE_INTEGER:
        return value
    if isinstance(value, str) and not any("\ud800" <= sign <= "\udfff" for sign in value):
        return unicodedata.normalize("NFC", value)
    if isinstance(value, list | tuple):
        return [_plain(part) for part in value]
    if isinstance(value, Mapping) and all(isinstance(name, str) for name in value):
        named = {_plain(name): _plain(part) for name, part in value.items()}
        if len(named) == len(value):
            return named
    raise NotCanonicalError(value)


def fingerprint(facts: bytes) -> str:
    """SHA-256 as 64 hexadecimal figures."""
    return hashlib.sha256(facts).hexdigest()


def grouped(hexadecimal: str) -> str:
    """A fingerprint as it is printed, in groups of four."""
    return " ".join(hexadecimal[start : start + 4] for start in range(0, len(hexadecimal), 4))


def new_key() -> tuple[bytes, str]:
    """A new private key as PEM, and its public key as the x of RFC 8037."""
    from cryptography.hazmat.primitives import serialization
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    key = Ed25519PrivateKey.generate()
    pem = key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    return pem, encode(key.public_key().public_bytes_raw())


def thumbprint(x: str) -> str:
    """RFC 7638 thumbprint of a public key; members and order by RFC 8037, appendix A.3."""
    members = f'{{"crv":"Ed25519","kty":"OKP","x":"{x}"}}'
    return encode(hashlib.sha256(members.encode()).digest())


def public_half(private_pem: bytes) -> str:
    """The x of a private key. Raises KeyUnreadableError."""
    return encode(_private(private_pem).public_key().public_bytes_raw())


def read_public(text: str) -> dict[str, str]:
    """Thumbprint -> x of the keys in a file: a JWK, a set of them, or x alone. Raises KeyUnreadableError."""
    return {thumbprint(entry["x"]): entry["x"] for entry in _entries(text)}


def read_ends(text: str) -> dict[str, str]:
    """Thumbprint -> last day of the keys in a file that ended, as they are handed on. Raises KeyUnreadableError."""
    return {thumbprint(entry["x"]): entry["ended"] for entry in _entries(text) if entry.get("ended")}


def _entries(text: str) -> list[dict[str, str]]:
    text = text.strip()
    try:
        found = json.loads(text) if text[:1] in ("{", "[") else {"kty": "OKP", "crv": "Ed25519", "x": text}
        entries: list[dict[str, str]] = found.get("keys", [found]) if isinstance(found, dict) else found
        for entry in entries:
            if entry["kty"] != "OKP" or entry["crv"] != "Ed25519" or len(decode(entry["x"])) != 32:
                raise KeyUnreadableError("public")
            if entry.get("ended") and not (DAY.fullmatch(entry["ended"]) and date.fromisoformat(entry["ended"])):
                raise KeyUnreadableError("public")
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError, UnreadableError):
        raise KeyUnreadableError("public") from None
    if not entries:
        raise KeyUnreadableError("public")
    return entries


def sign(private_pem: bytes, payload: bytes, kid: str) -> str:
    """A compact JWS; its header names the algorithm and the key's thumbprint. Raises KeyUnreadableError."""
    key = _private(private_pem)
    header = json.dumps({"alg": ALGORITHM, "kid": kid} if kid else {"alg": ALGORITHM}, separators=(",", ":"))
    signed = f"{encode(header.encode())}.{encode(payload)}"
    return f"{signed}.{encode(key.sign(signed.encode()))}"


def verify(jws: str, keys: Mapping[str, str]) -> bytes:
    """The payload, if one of `keys` (thumbprint -> x) signed it; a key in the header itself is never used.

    Raises BadSignatureError, UnknownKeyError, UnreadableError.
    """
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    header, payload, signature = _parts(jws)
    kid = _kid(header)
    candidates = [keys[kid]] if kid in keys else [] if kid else list(keys.values())
    if not candidates:
        raise UnknownKeyError(kid)
    signed = jws[: jws.rindex(".")].encode()
    for x in candidates:
        try:
            Ed25519PublicKey.from_public_bytes(decode(x)).verify(signature, signed)
        except InvalidSignature:
            continue
        try:
            payload.decode()
        except UnicodeDecodeError:
            raise UnreadableError("what was signed is not UTF-8 text") from None
        return payload
    raise BadSignatureError


def signer(jws: str, keys: Mapping[str, str]) -> str:
    """The thumbprint of the one of `keys` that signed, "" where none did. Raises UnreadableError."""
    for thumbprint_, x in keys.items():
        try:
            verify(jws, {thumbprint_: x})
        except (BadSignatureError, UnknownKeyError):
            continue
        return thumbprint_
    return ""


def claimed(jws: str) -> bytes:
    """The payload as it is claimed: nothing is proved by it. For choosing what to look for. Raises UnreadableError."""
    return _parts(jws)[1]


def encode(data: bytes) -> str:
    """base64url without padding, RFC 7515, section 2."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def decode(text: str) -> bytes:
    """The bytes of base64url in its one strict form. Raises UnreadableError."""
    if not isinstance(text, str) or not PART.fullmatch(text):
        raise UnreadableError("a part holds a sign that is not base64url" + (", padding" if "=" in str(text) else ""))
    try:
        data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except (ValueError, binascii.Error):
        raise UnreadableError("a part is cut short") from None
    if encode(data) != text:
        raise UnreadableError("a part is written in another way than the one allowed")
    return data


def no_twins(pairs: Iterable[tuple[str, Any]]) -> dict[str, Any]:
    """The members of a JSON object, for json.loads. Raises UnreadableError when a name stands twice."""
    members: dict[str, Any] = {}
    for name, value in pairs:
        if name in members:
            raise UnreadableError(f"“{name[:40]}” stands in it twice")
        members[name] = value
    return members


def _parts(jws: str) -> tuple[dict[str, Any], bytes, bytes]:
    parts = jws.split(".")
    if len(parts) != 3:
        raise UnreadableError("it has not the three parts of one")
    head, payload, signature = (decode(part) for part in parts)
    try:
        header = json.loads(head.decode(), object_pairs_hook=no_twins)
    except (UnicodeDecodeError, json.JSONDecodeError, RecursionError, ValueError):
        raise UnreadableError("its header is not JSON in UTF-8") from None
    if not isinstance(header, dict):
        raise UnreadableError("its header names nothing")
    return header, payload, signature


def _kid(header: Mapping[str, Any]) -> str:
    if "crit" in header or "b64" in header:
        raise UnreadableError("its header asks for an extension that is not known here")
    if header.get("alg") not in tuple(ACCEPTED):
        raise UnreadableError("it is not signed with Ed25519")
    kid = header.get("kid", "")
    if not isinstance(kid, str):
        raise UnreadableError("its header names no key")
    return kid


def _private(pem: bytes) -> Any:
    from cryptography.exceptions import UnsupportedAlgorithm
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    try:
        key = load_pem_private_key(pem, password=None)
    except (ValueError, TypeError, UnsupportedAlgorithm):
        raise KeyUnreadableError("private") from None
    if not isinstance(key, Ed25519PrivateKey):
        raise KeyUnreadableError("private")
    return key
