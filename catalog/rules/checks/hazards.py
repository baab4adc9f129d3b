"""Whether cyanide came beside an acid or iodine, as far as the record says."""

from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.hazards import besides, histories_with_cyanide, told


def cyanide_beside_acid(subject: Subject) -> Iterator[Finding]:
    """Cyanide next to an acid or iodine with no wash or rinse recorded between."""
    for thing, history in histories_with_cyanide(subject.connection):
        for pair in besides(history, thing.kind == "negative"):
            yield Finding("error", thing.code, told(pair, [thing.code]))
