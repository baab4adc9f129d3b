"""Whether every second edition of one size and process is disclosed."""

from collections.abc import Iterator

from catalog.records.second_editions import undisclosed
from catalog.rules.checks.findings import Finding, Subject


def second_editions_disclosed(subject: Subject) -> Iterator[Finding]:
    """Editions that coincide with an earlier one of their negative, and nowhere say so."""
    for second, first in undisclosed(subject.connection):
        yield Finding(
            "warning",
            second,
            f"{second} has the image, size and process of {first}, and no paper says so. Say it in a sentence that is "
            f"printed with both: tirage edition erratum {second} SENTENCE.",
        )
