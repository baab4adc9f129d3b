"""Finished documents kept as files: one name a document, and no other document written over."""

from collections.abc import Callable, Sequence
from pathlib import Path

from catalog import signing
from catalog.errors import TirageError
from catalog.records.items import shorten
from catalog.whole_files import write_whole

FOLDER = "out"
LONGEST = 120


class OtherDocumentError(TirageError):
    """A file of that name that is not an earlier printing of the same document."""

    def __init__(self, path: Path) -> None:
        super().__init__(
            f"{path.name} is there already and is not an earlier “{path.stem}” of this program; it was "
            f"left as it is. Move it away, or name another file."
        )


class NotWrittenError(TirageError):
    """A document that found no place."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"{path.name} could not be written ({reason}); the records are safe. Make room or choose "
            f"another place, then ask for the document again (a certificate with: tirage "
            f"certificate show CODE --draw)."
        )


def name_of(kind: str, codes: Sequence[str]) -> str:
    """The file name of a document about these codes: labels-P-000001-P-000006.pdf."""
    about = shorten(codes).replace(" to ", "-").replace(", ", "+")
    if len(about) > LONGEST:
        about = f"{codes[0]}-{len(codes)}-{signing.fingerprint(' '.join(codes).encode())[:12]}"
    return f"{kind}-{about}.pdf"


def keep(path: Path, pdf: bytes, title: str) -> None:
    """Write a document, whole or not at all. Raises OtherDocumentError, NotWrittenError."""
    put(path, pdf, lambda kept: _title(kept) == title)


def put(path: Path, content: bytes, ours: Callable[[Path], bool]) -> None:
    """Write a file, whole or not at all, over one that is an earlier of ours only. Raises as `keep`."""
    try:
        if path.exists() and not (path.is_file() and ours(path)):  # reading a pipe would wait for ever
            raise OtherDocumentError(path)
        path.parent.mkdir(parents=True, exist_ok=True)
        write_whole(path, content)
    except OSError as problem:
        raise NotWrittenError(path, problem.strerror or "no access") from None


def _title(path: Path) -> str:
    import pikepdf

    try:
        with pikepdf.open(path) as opened:
            return str(opened.docinfo.get("/Title", ""))
    except (pikepdf.PdfError, ValueError, RuntimeError):
        return ""
