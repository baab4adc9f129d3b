"""The certificate: issued with frozen facts, and put on paper from these facts alone."""

import sqlite3
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from catalog import signing
from catalog.documents import wording
from catalog.documents.facts import private_facts, public_facts
from catalog.documents.presentation import Presentation
from catalog.errors import TirageError
from catalog.events import Event
from catalog.records import artist_keys, catalogs, certificates
from catalog.records.artist_keys import PrivateKey
from catalog.records.certificates import Certificate
from labels.attachments import attach, page_digests
from labels.certificate import CertificateContent
from labels.certificate import certificate as drawn
from labels.errors import PaperError

FACTS_FILE, JWS_FILE, PAGE_FILE = "certificate.json", "certificate.jws", "page.jws"
PAGE_FORMAT = "page of a certificate, 1"


class NotDrawnError(TirageError):
    """A document that cannot be put on paper as it is."""

    def __init__(self, code: str, reason: str) -> None:
        super().__init__(f"{code} could not be drawn: {reason}")


def issue(
    connection: sqlite3.Connection,
    event: Event,
    print_id: int,
    folder: Path,
    presentation: Presentation,
    supersedes: int | None = None,
) -> Certificate:
    """Issue the certificate of one print from what the records hold now. Raises as certificates.issue does."""
    public = public_facts(connection, print_id)
    # Frozen too: a reprint is the same although settings change.
    public["presentation"] = {
        "address": presentation.address,
        "units": presentation.units,
        "language": presentation.language,
    }
    return certificates.issue(
        connection, event, print_id, public, private_facts(connection, print_id), folder, supersedes
    )


def page_key(connection: sqlite3.Connection, day: str, folder: Path) -> tuple[PrivateKey | None, str]:
    """The key that signs a page drawn on `day`, or None with a sentence that says why there is none."""
    artist = catalogs.artist(connection)
    if artist.died_latest and day > artist.died_latest:
        return None, f"{artist.name} died {artist.died}, so this page bears no signature of its own; the facts do."
    try:
        key = artist_keys.private_key(connection, folder)
    except TirageError as problem:
        return None, f"{problem.sentence} The page bears no signature of its own; the facts do."
    return key, key.doubt


def content(certificate: Certificate) -> CertificateContent:
    """What the page says, from the frozen facts and nothing else."""
    facts = certificate.public
    look = facts["presentation"]
    estate = facts["edition"] is not None and facts["edition"]["estate"]
    return CertificateContent(
        number=facts["certificate"],
        heading="Certificate of authenticity",
        artist=wording.artist(facts),
        title=facts["title"],
        subtitle=wording.capital(wording.joined([wording.material(facts), facts["print"]["designation"]])),
        facts=tuple((name, wording.capital(value)) for name, value in _pairs(facts, look["units"]) if value),
        statements=tuple(_statements(facts)),
        declaration=wording.DECLARATION,
        signature_lines=("Signature for the estate" if estate else "Signature of the artist", "Place and date"),
        fingerprint=certificate.fingerprint,
        thumbprint=facts["key"],
        verify=wording.VERIFY,
        address=f"{look['address']}/C/{facts['certificate']}".upper(),
    )


def drawable(certificate: Certificate, page: str) -> None:
    """Raise NotDrawnError where the page could not be drawn, such as for a script that no typeface here has."""
    try:
        drawn(content(certificate), page)
    except PaperError as problem:
        raise NotDrawnError(certificate.code, problem.sentence) from None


def paper(certificate: Certificate, page: str, key: PrivateKey | None) -> bytes:
    """The certificate's PDF with its statement and both signatures inside.

    `key` signs what the page shows; without one (lost, or the artist has died) the page bears no signature of its
    own, and a verification says so. Raises NotDrawnError.
    """
    said = content(certificate)
    try:
        pdf = drawn(said, page)
        digests = page_digests(pdf)
        files = {
            FACTS_FILE: (certificate.facts.encode(), "application/json", "/Data"),
            JWS_FILE: (certificate.jws.encode(), "application/jose", "/Supplement"),
        }
        if key is not None:
            files[PAGE_FILE] = (
                signing.sign(key.pem, page_statement(certificate, digests), key.thumbprint).encode(),
                "application/jose",
                "/Supplement",
            )
        return attach(
            pdf,
            files,
            f"{said.heading} {said.number}",
            certificate.public["artist"]["name"],
            certificate.public["presentation"]["language"],
        )
    except PaperError as problem:
        raise NotDrawnError(certificate.code, problem.sentence) from None


def page_statement(certificate: Certificate, digests: Mapping[str, str]) -> bytes:
    """What the second signature is over: which certificate, which facts, what the page shows."""
    return signing.canonical(
        {
            "format": PAGE_FORMAT,
            "certificate": certificate.code,
            "facts": certificate.fingerprint,
            "shows": dict(digests),
        }
    )


def _pairs(facts: Mapping[str, Any], units: str) -> list[tuple[str, str]]:
    found, edition = facts["print"], facts["edition"]
    return [
        ("Print", wording.joined([found["code"], found["designation"]])),
        ("Edition", wording.edition(facts)),
        ("Declared", wording.date(edition["declared"]) if edition else ""),
        ("Other editions", wording.others(facts, units)),
        ("Negative", wording.negative(facts)),
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
    sentences = [wording.negative_state(facts), *wording.evidence(facts)]
    sentences += [doubt for question in ("hypo", "silver") for doubt in facts["evidence"][question]["doubts"]]
    return [sentence for sentence in dict.fromkeys([*sentences, *facts["differs"], wording.LIMITS]) if sentence]
