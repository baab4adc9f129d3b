"""Whether the history is still the one that copies hold, and the one that certificates were issued in."""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

from catalog.rules.checks.findings import Finding, Subject
from catalog.store import copies
from catalog.store.connection import DATABASE
from catalog.store.copies import Compared, Link


def copies_agree(subject: Subject) -> Iterator[Finding]:
    """Copies that were named, and every copy of this catalog that lies beside it."""
    for path in subject.against:
        try:
            yield from _parted(subject.connection, path)
        except copies.NotACopyError as problem:
            yield Finding("error", "", problem.sentence)
    named = {path.resolve() for path in subject.against}
    for path in copies.beside(subject.folder, DATABASE):
        if path.resolve() in named:
            continue
        try:
            yield from _parted(subject.connection, path)
        except copies.NotACopyError as problem:
            yield Finding("note", "", problem.sentence)


def _parted(connection: sqlite3.Connection, path: Path) -> Iterator[Finding]:
    compared = copies.compare(connection, path)
    ours, theirs = compared.our_link, compared.their_link
    if compared.parted and ours is not None and theirs is not None:
        yield Finding(
            "error",
            "",
            f"The history was rewritten since {path.name} was kept: the first seal that differs is number "
            f"{theirs.place}, {_link(theirs)} there and {_link(ours)} here. Whatever was recorded from then on may "
            f"not be what happened: ask who can vouch for either, and bring back the true one.",
        )
    elif compared.is_ahead and theirs is not None:
        yield Finding(
            "error",
            "",
            f"{path.name} is newer than this catalog: {_missing(compared)}, the first of them {_link(theirs)}. "
            f"An older state was put back here, or commands were cut off: work on from the newer one.",
        )


def _link(link: Link) -> str:
    return f"“{link.command}” of {link.sealed[:10]}, {link.sealed[11:16]}"


def _missing(compared: Compared) -> str:
    count = compared.theirs - compared.ours
    return f"{count} of its commands {'is' if count == 1 else 'are'} missing here"
