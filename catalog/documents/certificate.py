"""The certificate: issued with frozen facts, and put on paper from these facts alone."""

import json
import sqlite3
from collections.abc import Mapping
from typing import Any

from catalog import signing
from catalog.dates import parse_date
from catalog.documents import wording
from catalog.documents.presentation import Presentation
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import artist_keys, catalogs, certificates
from catalog.records.certificates import Certificate
from catalog.records.private_keys import KeyLockedError, KeyRing, NoKeyError, PrivateKey, WrongKeyError
from catalog.rules.owner_facts import NOT_PASSED, owner_facts
from catalog.rules.print_facts import public_facts
from labels.attachments import Seal, attach, page_digests
from labels.certificate import CertificateContent, refuse_what_does_not_fit
from labels.certificate import certificate as drawn
from labels.errors import PaperError

FACTS_FILE, JWS_FILE, PAGE_FILE = "certificate.json", certificates.JWS_FILE, "page.jws"
SLIP_FILE, KEY_FILE = "slip.jws", "key.json"
PAGE_FORMAT = "page of a certificate, 1"
HEADING = "Certificate of authenticity"
RECIPE = (
    "This paper can be checked by itself. The square holds an address, and after its # a signed statement: what the "
    "print is and the fingerprint of all its facts. Scan it, and a page checks it; what stands after # never leaves "
    "your device. Or check it anywhere, without a network, as a JWS (RFC 7515, Ed25519) under the public key above: "
    "tirage certificate verify STATEMENT --key KEY. Then compare what it says with this page and with the print.\n"
    "Make sure of the key by another way: the studio’s key sheet, a gallery, an archive."
)
CAPTION = "Scan to check. Or:\n{address}"
FOR_THE_ESTATE = (
    "For the estate I declare that what is stated above is true of this print as its records hold it on the day of "
    "issue."
)


class NoBuyerError(TirageError):
    """A name to be printed that the certificate does not hold."""

    def __init__(self, code: str) -> None:
        super().__init__(
            f"{code} was issued before a change of owner was recorded, so it holds no name to print; expected a sale "
            f"or gift on record. Leave out --with-buyer, or record the sale and issue it anew: --supersedes {code}."
        )


class PageNotSignedError(TirageError):
    """A page that no key can sign on the day it is drawn."""

    def __init__(self, reason: str, remedy: str) -> None:
        super().__init__(
            f"Nothing was issued: {reason}, and a page is signed on the day it is drawn, whatever the day of issue; "
            f"expected a key that signs now. Make it first: {remedy}."
        )
        self.mind = f"Mind: {reason}, so this page bears no signature of its own; the facts do. Make a key: {remedy}"


class NotDrawnError(TirageError):
    """A document that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"{code} could not be drawn: {reason}")


def issue(
    connection: sqlite3.Connection,
    event: Event,
    print_id: int,
    keys: KeyRing,
    presentation: Presentation,
    supersedes: int | None = None,
) -> Certificate:
    """Issue the certificate of one print from what the records hold now. Raises as certificates.issue does.

    For many, hand the same `keys` to each: a key is read and unlocked once.
    """
    public = public_facts(connection, print_id)
    # Frozen too: a reprint is the same although settings change.
    public["presentation"] = {
        "address": presentation.address,
        "units": presentation.units,
        "language": presentation.language,
    }
    private = owner_facts(connection, print_id)
    return certificates.issue(connection, event, print_id, public, private, keys, supersedes)


def page_signer(connection: sqlite3.Connection, day: str, keys: KeyRing, estate: bool) -> PrivateKey:
    """The key that signs pages drawn on `day`: the estate's for what is the estate's, and for all after the death.

    Asked before a certificate is issued: a page without its signature is taken for an altered one. Raises
    PageNotSignedError, and as KeyRing.signing does.
    """
    artist = catalogs.artist(connection)
    dead = artist.dead_on(day)
    holder = "estate" if dead or estate else "artist"
    found = artist_keys.signing_key(connection, holder)
    if found is None:
        reason = f"the {holder} has no key that signs"
        if dead:
            reason = f"{artist.name} died {parse_date(artist.died).text()} and {reason}"
        raise PageNotSignedError(reason, "tirage key renew" + (" --estate" if holder == "estate" else ""))
    return keys.private(connection, found)


def page_key(
    connection: sqlite3.Connection, day: str, keys: KeyRing, certificate: Certificate
) -> tuple[PrivateKey | None, str]:
    """The key that signs a page drawn again on `day`, or None with a sentence that says why there is none.

    A passphrase that is wrong or missing is refused: a page without its signature would be taken for an altered one.
    """
    try:
        key = page_signer(connection, day, keys, for_estate(certificate))
    except PageNotSignedError as problem:
        return None, problem.mind
    except (NoKeyError, WrongKeyError, KeyLockedError, signing.KeyUnreadableError) as problem:
        return None, f"{problem.sentence} This page bears no signature of its own; the facts do."
    return key, key.doubt


def for_estate(certificate: Certificate) -> bool:
    """Whether the estate's key signed a certificate, or it is of an edition of the estate's."""
    facts = certificate.public
    edition = facts.get("edition")
    return facts.get("issued_by") == "the estate" or bool(edition and edition["estate"])


def content(certificate: Certificate, with_buyer: bool = False) -> CertificateContent:
    """What the page says, from the frozen facts; the buyer's name only when asked for. Raises NoBuyerError."""
    facts = certificate.public
    look = facts["presentation"]
    estate = for_estate(certificate)
    pairs = [(name, wording.capital(value)) for name, value in _pairs(facts, look["units"]) if value]
    if with_buyer:
        pairs.append(("Issued to", _buyer(certificate)))
    address = f"{look['address']}/C/{facts['certificate']}"
    return CertificateContent(
        number=facts["certificate"],
        heading=HEADING,
        artist=wording.artist(facts),
        title=facts["title"],
        subtitle=wording.capital(wording.joined([wording.material(facts), facts["print"]["designation"]])),
        facts=tuple(pairs),
        statements=tuple(_statements(facts)),
        declaration=FOR_THE_ESTATE if estate else wording.DECLARATION,
        signature_lines=("Signature for the estate" if estate else "Signature of the artist", "Place and date"),
        fingerprint=certificate.fingerprint,
        thumbprint=facts["key"],
        verify=RECIPE if certificate.slip else wording.VERIFY,
        # Older ones have no slip: their square leads to the studio's page, in capitals, which take less room.
        address=f"{look['address']}/C#{certificate.slip}" if certificate.slip else address.upper(),
        public_key=certificate.x if certificate.slip else "",
        caption=CAPTION.format(address=address) if certificate.slip else "",
    )


def has_buyer(certificate: Certificate) -> bool:
    """Whether a certificate holds a name that can be printed on it."""
    return bool(json.loads(certificate.private_facts).get("buyer", ""))


def _buyer(certificate: Certificate) -> str:
    """Whom a certificate was issued to, and what is not sure of it. Raises NoBuyerError."""
    facts = json.loads(certificate.private_facts)
    buyer = str(facts.get("buyer", ""))
    if not buyer:
        raise NoBuyerError(certificate.code)
    possibly = "possibly " if str(facts.get("kind", "")).startswith("possibly ") else ""
    waits = "; on the day of issue title had not passed" if facts.get("standing") == NOT_PASSED else ""
    return f"{possibly}{buyer}{waits}"


def drawable(certificate: Certificate, page: str, with_buyer: bool = False) -> None:
    """Raise NotDrawnError where the page could not be drawn, such as for a script that no typeface here has."""
    try:
        refuse_what_does_not_fit(content(certificate, with_buyer), page)
    except PaperError as problem:
        raise NotDrawnError(certificate.code, problem.sentence) from None


def paper(certificate: Certificate, page: str, key: PrivateKey | None, with_buyer: bool = False) -> bytes:
    """The certificate's PDF with its statement and its signatures inside, and the public keys to be compared.

    `key` signs what the page shows; without one (lost, or the artist has died) the page bears no signature of its
    own, and a verification says so. Raises NotDrawnError, NoBuyerError.
    """
    said = content(certificate, with_buyer)
    try:
        pdf = drawn(said, page)
        return attach(
            pdf,
            _files(certificate, key),
            f"{said.heading} {said.number}",
            certificate.public["artist"]["name"],
            certificate.public["presentation"]["language"],
            None if key is None else _seal(certificate, key, page_digests(pdf)),
        )
    except PaperError as problem:
        raise NotDrawnError(certificate.code, problem.sentence) from None


def _seal(certificate: Certificate, key: PrivateKey, shown: Mapping[str, str]) -> Seal:
    """The page's signature, made when every other byte of the file is known."""

    def signed(file: str) -> bytes:
        return signing.sign(key.pem, page_statement(certificate, shown, file), key.thumbprint).encode()

    return PAGE_FILE, signed


def _files(certificate: Certificate, key: PrivateKey | None) -> dict[str, tuple[bytes, str, str]]:
    """What is attached: name -> content, media type, relationship."""
    keys: dict[str, dict[str, str]] = {
        certificate.thumbprint: {"kty": "OKP", "crv": "Ed25519", "x": certificate.x, "kid": certificate.thumbprint}
    }
    files = {
        FACTS_FILE: (certificate.facts.encode(), "application/json", "/Data"),
        JWS_FILE: (certificate.jws.encode(), "application/jose", "/Supplement"),
    }
    if certificate.slip:
        files[SLIP_FILE] = (certificate.slip.encode(), "application/jose", "/Supplement")
    if key is not None:
        keys |= {public.thumbprint: public.jwk for public in key.lineage}
    carried = signing.canonical({"keys": list(keys.values())})
    files[KEY_FILE] = (carried, "application/jwk-set+json", "/Supplement")
    return files


def page_statement(certificate: Certificate, digests: Mapping[str, str], file: str) -> bytes:
    """What the second signature is over: which certificate, which facts, what the page shows, and the whole file.

    `file` is the SHA-256 of every byte of the file but those of this signature; `digests` still tell what was altered.
    """
    said = {
        "format": PAGE_FORMAT,
        "certificate": certificate.code,
        "facts": certificate.fingerprint,
        "shows": dict(digests),
        "file": file,
    }
    if certificate.slip:
        said["slip"] = signing.fingerprint(certificate.slip.encode())
    return signing.canonical(said)


def _pairs(facts: Mapping[str, Any], units: str) -> list[tuple[str, str]]:
    found, edition = facts["print"], facts["edition"]
    return [
        ("Print", wording.joined([found["code"], found["designation"]])),
        ("Edition", wording.edition(facts)),
        ("Declared", wording.date(edition["declared"]) if edition else ""),
        ("Other editions", wording.others(facts, units)),
        ("Negative", wording.negative(facts)),
        ("Dates", wording.dates(facts)),
        ("Printed", wording.made(facts)),
        ("Material", wording.material(facts)),
        ("Toning", found["toning"] or "none recorded"),
        ("Image", wording.size(found["image"], units)),
        ("Sheet", wording.size(found["sheet"], units)),
        ("Signed", wording.signed(facts)),
        ("Replaces", f"{found['replaces']}, destroyed" if found["replaces"] else ""),
        ("Issued", wording.date(facts["issued"])),
        ("Supersedes", facts["supersedes"] or ""),
    ]


def _statements(facts: Mapping[str, Any]) -> list[str]:
    sentences = [*wording.edition_notes(facts), wording.negative_state(facts), *wording.evidence(facts)]
    sentences += [doubt for question in ("hypo", "silver") for doubt in facts["evidence"][question]["doubts"]]
    return [sentence for sentence in dict.fromkeys([*sentences, *facts["differs"], wording.LIMITS]) if sentence]
