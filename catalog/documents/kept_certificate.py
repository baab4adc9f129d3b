"""A certificate's file that is there already: written over only by the same certificate, never by another."""

from pathlib import Path

from catalog.documents.certificate import FACTS_FILE
from catalog.errors import TirageError
from catalog.records.certificates import Certificate
from labels.attachments import attachments
from labels.errors import PdfAmbiguous, PdfUnreadable


class OtherCertificateError(TirageError):
    """A file of a certificate's name that states other facts."""

    def __init__(self, path: Path, code: str) -> None:
        super().__init__(
            f"{path.parent.name}/{path.name} is there already, and is another {code}, with other facts; it was left as "
            f"it is. An older copy of the catalog may have been put back, and this number be out already: see tirage "
            f"check, and move the file away only when you know."
        )


def refuse_another(path: Path, certificate: Certificate) -> None:
    """Raise OtherCertificateError where a file holds the facts of another certificate."""
    if not path.is_file():
        return
    try:
        facts = attachments(path.read_bytes()).get(FACTS_FILE)
    except (PdfAmbiguous, PdfUnreadable, OSError):
        return  # what is no certificate is refused when it would be written over
    if facts is not None and facts != certificate.facts.encode():
        raise OtherCertificateError(path, certificate.code)
