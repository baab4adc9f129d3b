"""A catalog with many prints, built through the guards and triggers of the real schema."""

import os
from datetime import datetime
from pathlib import Path

from catalog.cli.main import run
from catalog.store import connection as store
from catalog.store import journal

BATCH = 50_000


def build(folder: Path, prints: int) -> Path:
    """A catalog in `folder` with one plate, editions of 1,000 and so many undesignated prints, all sealed."""
    os.environ["TIRAGE_BY"] = "bench"
    for line in (
        ["init", str(folder), "--artist", "A. Example"],
        ["--catalog", str(folder), "negative", "add", "Low water", "--size", "8x10in"],
        ["--catalog", str(folder), "place", "add", "studio/shelf 1"],
        ["--catalog", str(folder), "move", "n1", "studio/shelf 1"],
        ["--catalog", str(folder), "edition", "declare", "n1", "99999"],
    ):
        assert run(line) == 0
    opened = store.open_catalog(folder, writing=True)
    opened.execute("PRAGMA synchronous = OFF")  # building only; measured work opens the file anew
    opened.execute("BEGIN IMMEDIATE")
    edition = opened.execute("SELECT id FROM edition").fetchone()[0]
    negative = opened.execute("SELECT id FROM negative").fetchone()[0]
    first = opened.execute("SELECT max(id) + 1 FROM code").fetchone()[0]
    for start in range(0, prints, BATCH):
        serials = range(start, min(start + BATCH, prints))
        opened.executemany(
            "INSERT INTO code (id, code, kind, serial) VALUES (?, ?, 'print', ?)",
            ((first + n, f"P-{n + 1:06d}", n + 1) for n in serials),
        )
        opened.executemany("INSERT INTO item (id, kind) VALUES (?, 'print')", ((first + n,) for n in serials))
        opened.executemany(
            "INSERT INTO print (id, negative, edition, made, earliest, latest) VALUES (?, ?, ?, "
            "'2026-03-02', '2026-03-02', '2026-03-02')",
            ((first + n, negative, edition) for n in serials),
        )
    journal.seal(opened, sealed=datetime.now().astimezone().isoformat(), by="bench", command="print make")
    opened.execute("COMMIT")
    opened.close()
    return folder
