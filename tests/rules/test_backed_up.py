"""Which backup holds how much of the present history: a restored catalog is in the older one, not in the newest."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from catalog.rules.checks import Subject
from catalog.rules.checks.copies import backed_up
from catalog.store import backup_log, journal
from catalog.store.backup_log import Went
from tests.process_sample import begun

LATER = datetime(2026, 6, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("noted", "said"),
    [
        ([], "3 commands, the first of 1 March 2026, are in no backup: none is known here. Make one on another disk: "
             "tirage backup DIR"),
        (["A"], "1 command, the first of 3 March 2026, is in no backup: the last one known here is of 1 May 2026. "
                "Make one on another disk: tirage backup"),
        (["A", "gone"], "1 command, the first of 3 March 2026, is in no backup: the last one known here is of "
                        "1 May 2026. Make one on another disk: tirage backup"),
        (["gone"], "3 commands, the first of 1 March 2026, are in no backup: none is known here. Make one on another "
                   "disk: tirage backup"),
        (["C", "A", "gone"], ""),
    ],
)  # fmt: skip
def test_the_backup_that_goes_furthest_counts(tmp_path: Path, noted: list[str], said: str) -> None:
    folder = tmp_path / "c"
    connection = begun(folder)
    seals = {"gone": "0" * 64}
    for number, name in enumerate(("first", "A", "C"), 1):
        connection.execute("INSERT INTO party (id, name, kind) VALUES (?, ?, 'other')", (number + 1, name))
        journal.seal(connection, sealed=f"2026-03-0{number}T10:00:00+00:00", by="x", command="party add")
        seals[name] = journal.last_digest(connection)
    for name in noted:
        backup_log.note(folder, Went(f"/disk/{name}", name, "2026-05-01T10:00:00+00:00", 1, seals[name]))
    assert [one.sentence for one in backed_up(Subject(connection, folder, LATER))] == ([said] if said else [])
