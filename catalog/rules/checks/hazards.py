"""Whether cyanide came beside what must not meet it, as far as the record says."""

from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.hazards import besides, histories_with_cyanide, idle_steps, told


def cyanide_beside_acid(subject: Subject) -> Iterator[Finding]:
    """Cyanide next to an acid, iodine or another such thing with no wash or rinse recorded between."""
    found = list(histories_with_cyanide(subject.connection))
    idle = idle_steps(subject.connection, [thing.id for thing, _ in found])
    for thing, history in found:
        for pair in besides(history, thing.kind == "negative", idle[thing.id]):
            yield Finding("warning" if pair.other == "fixer" else "error", thing.code, told(pair, [thing.code]))
