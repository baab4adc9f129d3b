"""Whether the catalog holds every certificate that lies in out/: an older copy put back has forgotten the newest."""

import json
from collections.abc import Iterator, Mapping
from pathlib import Path

from catalog import signing
from catalog.records import artist_keys, certificates
from catalog.rules.checks.findings import Finding, Subject

FOLDER = "out"
PUT_BACK = (
    "Either an older copy of the catalog was put back after it was issued, or somebody else has the private key. Look "
    "for a newer copy of the catalog, and issue no certificate before you know: its number may be out already."
)


def papers_held(subject: Subject) -> Iterator[Finding]:
    """Whether every certificate in out/ that a key of this catalog signed is in the catalog, with the same facts."""
    keys = artist_keys.public_keys(subject.connection)
    for path in sorted((subject.folder / FOLDER).glob("certificate*.pdf")):
        facts = _signed_facts(path, keys)
        code = str(_object(facts).get("certificate", ""))
        if not code:
            continue
        held = certificates.coded(subject.connection, code)
        if held is None:
            yield Finding(
                "error",
                "",
                f"{FOLDER}/{path.name} is {code}, signed with a key of this catalog, and the catalog has no {code}. "
                f"{PUT_BACK}",
            )
        elif held.facts.encode() != facts:
            yield Finding(
                "error",
                code,
                f"{FOLDER}/{path.name} is another {code} than the one in the catalog: the number was given twice, "
                f"each time signed with a key of this catalog. {PUT_BACK}",
            )


def _signed_facts(path: Path, keys: Mapping[str, str]) -> bytes:
    """The facts of a certificate's PDF, if one of these keys signed them, else nothing."""
    from labels.attachments import attachments
    from labels.errors import PdfAmbiguous, PdfUnreadable

    try:
        jws = attachments(path.read_bytes()).get(certificates.JWS_FILE, b"")
        return signing.verify(jws.decode("ascii").strip(), keys)
    except (OSError, PdfAmbiguous, PdfUnreadable, UnicodeDecodeError):
        return b""
    except (signing.UnreadableError, signing.UnknownKeyError, signing.BadSignatureError):
        return b""


def _object(facts: bytes) -> dict[str, object]:
    try:
        found = json.loads(facts)
    except (ValueError, RecursionError):
        return {}
    return found if isinstance(found, dict) else {}
