"""The key sheet: every public key of a catalog, and how a certificate is checked with it from the paper alone."""

import json
import sqlite3

from catalog.dates import parse_date
from catalog.documents.presentation import Presentation
from catalog.records import artist_keys, catalogs
from catalog.records.artist_keys import ArtistKey
from labels.key_sheet import KeyEntry, KeySheetContent
from labels.key_sheet import key_sheet as drawn
from labels.sheet import Section

KIND = "Key sheet"
INTRODUCTION = (
    "Certificates of this studio bear a signature that is checked with the public keys below. A key counts only if it "
    "is known from somewhere else than the certificate: keep this sheet apart from every print, with a gallery, an "
    "archive, an heir. It holds nothing secret."
)
CHECKING = (
    "1. Scan the square on the certificate. What stands after # is the statement: three parts with points between, "
    "each written in base64url (JWS, RFC 7515).",
    "2. With this program, on any computer and without a network: tirage certificate verify STATEMENT --key KEY, where "
    "KEY is a public key as printed above, blanks not counting. A photograph of the square or the certificate’s PDF "
    "serves as well; with the PDF the thumbprint is enough.",
    "3. With any other: the signature, the third part, is one of Ed25519 (RFC 8032) over the first two parts and the "
    "point between them, taken as ASCII; the key is the 32 bytes whose base64url is printed above (RFC 8037).",
    "4. Read the second part: JSON that names the certificate, artist, title, print, designation and dates; in “key” "
    "the first eight signs of the thumbprint of the key that signed; in “facts” the SHA-256 of all facts, which is the "
    "fingerprint on the paper and that of certificate.json inside the PDF.",
    "5. Compare each of these with the paper, and the paper with the print.",
)
PROVES = (
    "That whoever held the private key stated these facts, and that not one sign of them was changed since.",
    "Not that the print in hand is the one described, nor that the paper is no copy: that is for the eye. And not what "
    "came later, such as a sale, a loss, or the revoking of a certificate: ask whoever keeps the studio’s catalog.",
)
LIMITS = (
    "Ed25519 does not hold against a large quantum computer, should one be built. What lasts then is ink and paper: "
    "the signature by hand, the fingerprint in print, and dated copies of this sheet with people who do not depend on "
    "each other.",
    "If a private key is lost, nothing more is signed with it, and what it signed stands. If it falls into other "
    "hands, they can sign as the studio until its end is told here; a newer sheet counts more than an older one.",
)


def content(connection: sqlite3.Connection, day: str, presentation: Presentation) -> KeySheetContent:
    """What the sheet says on a day."""
    artist = catalogs.artist(connection)
    keys = artist_keys.all_keys(connection)
    estate = artist.dead_on(day)
    names = ", ".join(key.thumbprint[:8] for key in keys)
    these = "This is the public key" if len(keys) == 1 else "These are the public keys"
    signer = "Signature for the estate" if estate else "Signature of the artist"
    return KeySheetContent(
        kind=KIND,
        artist=artist.name,
        title=f"The keys that sign for {artist.name}",
        subtitle=f"As of {parse_date(day).text()}. {INTRODUCTION}",
        keys=tuple(_entry(key, number, keys) for number, key in enumerate(keys, start=1)),
        sections=(
            Section("Checking with them", CHECKING),
            Section("What it proves", PROVES),
            Section("Its limits", LIMITS),
        ),
        hands=(
            (f"{_declared(these, artist.name, keys) if estate else f'{these} of my studio'}: {names}.",
             (signer, "Place and date")),
            ("Received, to be kept apart from certificates and prints.", ("Name and signature", "Place and date")),
        ),
        footer=f"{presentation.address}/C",
    )  # fmt: skip


def key_sheet(connection: sqlite3.Connection, day: str, presentation: Presentation, page: str) -> bytes:
    """The sheet as a PDF."""
    return drawn(content(connection, day, presentation), page)


def standing(key: ArtistKey) -> str:
    """How a key stands, in a few words."""
    since = parse_date(key.since).text()
    return f"{since} to {parse_date(key.ended).text()}" if key.ended else f"signs since {since}"


def _declared(these: str, artist: str, keys: list[ArtistKey]) -> str:
    """What is declared for the estate: whose keys these are, the artist's and, once it has one, its own."""
    own = " and of the estate" if any(key.holder == "estate" for key in keys) else ""
    return f"For the estate: {these[0].lower()}{these[1:]} of {artist}{own}"


def _entry(key: ArtistKey, number: int, keys: list[ArtistKey]) -> KeyEntry:
    numbers = {each.thumbprint: place for place, each in enumerate(keys, start=1)}
    sentences = [f"Ended: {_spelled(key.ended_why, numbers)}."] if key.ended else []
    alone = artist_keys.standing_alone(key, first=number == 1)
    if alone:
        sentences.append(f"{alone} It stands alone: be sure of it by another way.")
    before = numbers.get(key.follows, 0)
    if key.succession:
        sentences.append(f"Key {before} signed for it before it was used: who trusts that key can trust this one.")
    jwk = {"crv": "Ed25519", "kty": "OKP", "x": key.x}  # as RFC 7638 writes it for the thumbprint
    return KeyEntry(
        heading=f"Key {number}, the {key.holder}’s",
        standing=standing(key),
        public_key=key.x,
        thumbprint=key.thumbprint,
        square=json.dumps(jwk, separators=(",", ":")),
        sentences=tuple(sentences),
        word_caption=f"Signed by key {before} (JWS)" if key.succession else "",
        word=key.succession,
    )


def _spelled(why: str, numbers: dict[str, int]) -> str:
    """Why a key ended, with the number of the key that followed for its thumbprint."""
    for thumbprint, number in numbers.items():
        why = why.replace(thumbprint[:8], f"key {number}")
    return why.rstrip(".")
