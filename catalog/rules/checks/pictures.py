"""Whether picture files are still what was recorded."""

import hashlib
from collections.abc import Iterator

from catalog.records import pictures
from catalog.rules.checks.findings import Finding, Subject

PICTURES = "SELECT c.code, p.path, p.sha256 FROM picture p JOIN code c ON c.id = p.item ORDER BY p.id"


def pictures_unchanged(subject: Subject) -> Iterator[Finding]:
    """Picture files that are gone or are no longer what was recorded."""
    for code, name, digest in subject.connection.execute(PICTURES).fetchall():
        try:
            with pictures.open_master(subject.folder / pictures.FOLDER, name) as file:
                now = hashlib.file_digest(file, "sha256").hexdigest()
        except pictures.OutsideError as problem:
            yield Finding("error", code, problem.sentence)
            continue
        except OSError:
            yield Finding(
                "error", code, f"The picture pictures/{name} of {code} is missing; bring it back from a backup."
            )
            continue
        if now != digest:
            yield Finding(
                "error",
                code,
                f"The picture pictures/{name} of {code} was changed since it was recorded; "
                f"bring back the one from a backup, or add the new one beside it.",
            )
