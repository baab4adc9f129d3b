"""Whether the list of what may wait, which triggers keep, is what the records say."""

from collections.abc import Iterator

from catalog.rules.checks.findings import Finding, Subject
from catalog.store import waiting_list

TO_BE = {"wash": "washed", "test": "tested", "payment": "paid", "edition": "called complete"}


def waiting_as_recorded(subject: Subject) -> Iterator[Finding]:
    """Whether all that may wait to be washed, tested, paid or called complete is noted so, and nothing else."""
    for what, code, is_listed in waiting_list.wrong(subject.connection):
        yield Finding(
            "error",
            code,
            f"{code} {'is noted' if is_listed else 'is not noted'} among what may wait to be {TO_BE.get(what, what)}, "
            f"against its record: another program took the triggers away that keep this list, and “due” goes by it. "
            f"Bring back a copy that was kept.",
        )
