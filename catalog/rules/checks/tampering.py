"""Whether the file is as this program wrote it: its schema, its pages, its journal and every row."""

from collections import Counter
from collections.abc import Iterator
from typing import Any

from catalog.rules.checks.findings import Finding, Subject
from catalog.store import journal, migrations
from catalog.store.row_proof import Difference, differences, undecodable

MOST_TOLD = 20  # rows told one by one of each table; a forger who changed more is told of as well


def schema_as_shipped(subject: Subject) -> Iterator[Finding]:
    """Whether tables, indexes and triggers are those that this version ships."""
    shipped, found = migrations.shipped_schema(), migrations.schema(subject.connection)
    missing, added = shipped - found, found - shipped
    gone, come = ({(part.type, part.name) for part in parts} for parts in (missing, added))
    for sort, name in sorted(gone | come, key=str):  # a damaged schema may hold bytes where a name should be
        what = "is missing" if (sort, name) not in come else "was added" if (sort, name) not in gone else "was altered"
        yield Finding(
            "error",
            "",
            f"In the file the {sort} {name} {what}: another program changed the schema, and "
            f"what it guards is no longer sure. Bring back a backup, or ask for help.",
        )


def file_whole(subject: Subject) -> Iterator[Finding]:
    """What SQLite itself finds wrong with the file."""
    for row in subject.connection.execute("PRAGMA integrity_check(20)").fetchall():
        if row[0] != "ok":
            yield Finding("error", "", f"The file is damaged: {row[0]}. Bring back a backup.")
    for row in subject.connection.execute("PRAGMA foreign_key_check").fetchall():
        yield Finding("error", "", f"Row {row[1]} of {row[0]} names a {row[2]} that does not exist.")


def journal_whole(subject: Subject) -> Iterator[Finding]:
    """Whether every change stands under a seal that agrees with it."""
    for problem in journal.prove(subject.connection):
        yield Finding("error", "", problem[0].upper() + problem[1:] + ".")
    count = journal.unsealed_rows(subject.connection)
    if count:
        seal = journal.last_seal(subject.connection)
        rows = subject.connection.execute(
            "SELECT DISTINCT tbl, key FROM journal WHERE id > ? ORDER BY id LIMIT 6", (seal.last if seal else 0,)
        ).fetchall()
        yield Finding(
            "error",
            "",
            f"{count} changes were written outside this program since the last command: "
            + ", ".join(f"{row[0]} {row[1]}" for row in rows)
            + ".",
        )


def rows_as_journalled(subject: Subject) -> Iterator[Finding]:
    """Rows changed, removed or written with the triggers that journal them taken away, also when they are back."""
    told: Counter[str] = Counter()
    for difference in differences(subject.connection):
        told[difference.table] += 1
        if told[difference.table] <= MOST_TOLD:
            yield Finding("error", difference.code, _difference_words(difference))
    for table, count in told.items():
        if count > MOST_TOLD:
            yield Finding("error", "", f"So are {count - MOST_TOLD} more rows of {table}.")
    if subject.connection.execute("SELECT EXISTS (SELECT 1 FROM undoing)").fetchone()[0]:
        yield Finding(
            "error",
            "",
            "A taking back was begun by another program and left open, and while it stands the guards are open: "
            "bring back a copy that was kept.",
        )


def unreadable_texts(subject: Subject) -> Iterator[Finding]:
    """Texts that are none: bytes that no program of ours writes, and that stop whatever reads them."""
    for table, key, column in undecodable(subject.connection):
        yield Finding(
            "error",
            "",
            f"In {table} the row {key} holds bytes in {column} that are no text (UTF-8): another program wrote them, "
            f"and what needs this row cannot be looked at. Bring back a copy that was kept.",
        )


def _difference_words(difference: Difference) -> str:
    row = f"In {difference.table} the row {difference.key.strip('[]')}"
    if difference.code:
        row += f" ({difference.code})"
    if difference.what == "changed":
        said = "; ".join(
            f"{column} is {_value(now)}, the journal has {_value(then)}" for column, now, then in difference.columns
        )
        return f"{row} was changed without the journal: {said}. Compare it with a copy that was kept."
    if difference.what == "gone":
        said = ", ".join(f"{column} {_value(then)}" for column, _, then in difference.columns if then not in (None, ""))
        return f"{row} was removed without the journal, which has: {said}. Bring back a copy that was kept."
    said = ", ".join(f"{column} {_value(now)}" for column, now, _ in difference.columns if now not in (None, ""))
    return f"{row} was written without the journal: {said}. No command made it; compare with a copy that was kept."


def _value(value: Any) -> str:
    if value is None:
        return "nothing"
    text = str(value)
    return text if isinstance(value, int) else f"“{text[:60]}{'…' if len(text) > 60 else ''}”"
