"""Checks over the whole catalog: small functions, each returning what it found, in sentences."""

import sqlite3
from collections.abc import Callable, Iterator, Sequence
from datetime import datetime
from pathlib import Path

from catalog.errors import NotUnderstood
from catalog.plain_text import shown
from catalog.rules.checks.certificates import certificates_hold, seals_of_certificates
from catalog.rules.checks.clock import clock_in_order
from catalog.rules.checks.copies import backed_up, copies_agree, doubled_files, kept_in_step
from catalog.rules.checks.custody import gaps_between_owners, hands_in_order, sales_unpaid, standing_as_recorded
from catalog.rules.checks.dates import events_in_order
from catalog.rules.checks.deaths import bequest_before_death, made_in_life, signed_after_death
from catalog.rules.checks.disclosures import second_editions_disclosed
from catalog.rules.checks.drift import certificates_agree, certificates_of_the_destroyed
from catalog.rules.checks.findings import Finding, Subject
from catalog.rules.checks.hazards import cyanide_beside_acid
from catalog.rules.checks.keys import keys_kept
from catalog.rules.checks.numbers import numbers_of_editions, printed_after_the_end, replaced_before_destroyed
from catalog.rules.checks.papers import papers_held
from catalog.rules.checks.pictures import pictures_unchanged
from catalog.rules.checks.private_drift import sales_agree
from catalog.rules.checks.process import failed_and_signed, process_in_order, ready_without_fixing
from catalog.rules.checks.tampering import (
    file_whole,
    journal_whole,
    rows_as_journalled,
    schema_as_shipped,
    unreadable_texts,
)
from catalog.rules.checks.waiting import waiting_as_recorded
from catalog.store import journal

__all__ = ["CHECKS", "Finding", "Subject", "check"]

CHECKS: tuple[Callable[[Subject], Iterator[Finding]], ...] = (
    schema_as_shipped,
    file_whole,
    journal_whole,
    rows_as_journalled,
    copies_agree,
    certificates_hold,
    seals_of_certificates,
    papers_held,
    keys_kept,
    standing_as_recorded,
    waiting_as_recorded,
    hands_in_order,
    numbers_of_editions,
    second_editions_disclosed,
    printed_after_the_end,
    made_in_life,
    signed_after_death,
    bequest_before_death,
    replaced_before_destroyed,
    certificates_agree,
    certificates_of_the_destroyed,
    sales_agree,
    gaps_between_owners,
    failed_and_signed,
    process_in_order,
    events_in_order,
    clock_in_order,
    ready_without_fixing,
    cyanide_beside_acid,
    pictures_unchanged,
    sales_unpaid,
    doubled_files,
    kept_in_step,
    backed_up,
)


# What a look fails with on what was altered: a date that is none among it.
FAULTS = (
    sqlite3.DatabaseError, ValueError, LookupError, TypeError, AttributeError, ArithmeticError, AssertionError,
    NotUnderstood,
)  # fmt: skip


def check(
    connection: sqlite3.Connection, folder: Path, now: datetime | None = None, against: Sequence[Path] = ()
) -> list[Finding]:
    """Every finding, errors first. Without `now`, waits are counted up to the last command.

    `against` are other copies of this catalog whose history it must share. A file so damaged that a check cannot read
    it is told of, and the other checks go on.
    """
    subject = Subject(connection, folder, now or _last_command(connection), tuple(against))
    found: dict[Finding, None] = {}  # in order, each once: damage stops more than one check
    for look in CHECKS:
        try:
            found.update(dict.fromkeys(look(subject)))
        except FAULTS as error:
            texts = _unreadable(subject) if "decode" in str(error) else []
            if texts:
                found.update(dict.fromkeys(texts))
                continue
            if _is_damage(error):
                sentence = f"The file is damaged: {error}. Bring back a copy that was kept."
            elif any(finding.severity == "error" for finding in found):
                what = (look.__doc__ or "").partition("\n")[0].rstrip(".")
                sentence = f"Not looked at, as what it reads was altered ({error}): {what}."
            else:
                raise  # nothing explains it but a mistake of ours
            found[Finding("error", "", sentence)] = None
    told = [Finding(one.severity, shown(one.code), shown(one.sentence)) for one in found]  # they quote what was forged
    return sorted(told, key=lambda finding: ("error", "warning", "note").index(finding.severity))


def _is_damage(error: Exception) -> bool:
    """Whether SQLite found pages that cannot be, or text that is none."""
    words = ("malformed", "not a database", "decode", "corrupt")
    return isinstance(error, UnicodeDecodeError | sqlite3.DatabaseError) and any(word in str(error) for word in words)


def _unreadable(subject: Subject) -> list[Finding]:
    """The texts that cannot be read, if the file is whole enough to look for them."""
    try:
        return list(unreadable_texts(subject))
    except (sqlite3.DatabaseError, ValueError, LookupError, TypeError):
        return []


def _last_command(connection: sqlite3.Connection) -> datetime:
    try:
        seal = journal.last_seal(connection)
        return datetime.fromisoformat(seal.sealed) if seal else datetime.min
    except (sqlite3.DatabaseError, ValueError):
        return datetime.min  # an altered seal, which the checks tell of
