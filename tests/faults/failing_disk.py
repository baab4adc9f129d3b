"""One command after the other on a disk that fails at its n-th call, n = 1, 2, 3 ... until nothing fails any more.

Run under the shim (LD_PRELOAD, `failing_disk.c`) by test_failing_disk.py: `python -m tests.faults.failing_disk SHIM
FOLDER NAMES KINDS [STEP]`; each trial is a forked child of one warm process, on a fresh copy of a catalog. Prints what
was met.
"""

import ctypes
import errno
import json
import os
import shutil
import sqlite3
import sys
from collections import Counter
from io import StringIO
from pathlib import Path
from typing import NamedTuple

from catalog.cli.main import run
from catalog.exchange.bag.validation import validate
from catalog.rules.checks import check
from catalog.store import backups, journal, row_proof
from catalog.store import connection as store
from tests.faults.load import begun
from tests.store.conftest import dump
from tests.store.old_catalog import build

Before = tuple[dict[str, list[tuple[object, ...]]], dict[str, bytes]]  # rows and files
MOST = 2_000  # calls of one command; more would mean that it never ends


class Kind(NamedTuple):
    """How a disk fails: the error, whether it stays, whether a write writes its first half before."""

    number: int
    stays: bool
    short: bool


KINDS = {
    "error once": Kind(errno.EIO, False, False),
    "error stays": Kind(errno.EIO, True, False),
    "full once": Kind(errno.ENOSPC, False, False),
    "full stays": Kind(errno.ENOSPC, True, False),
    "full with half written": Kind(errno.ENOSPC, True, True),
}
# What is typed -> the line; {trial} is the folder in which everything of a trial is.
LINES: dict[str, list[str]] = {
    "a move": ["move", "1-3", "studio/shelf"],
    "signing": ["sign", "2-4", "--anyway", "x"],
    "a sale with its certificate": ["sell", "1", "Buyer", "900EUR", "--certificate", "--anyway", "x"],
    "a certificate": ["certificate", "issue", "1", "--anyway", "x"],
    "a certificate drawn again": ["certificate", "show", "c1", "--draw"],
    "taking back": ["undo"],
    "labels": ["label", "1-3"],
    "a provenance": ["provenance", "1"],
    "a session": ["session", "sheet", "e1", "2", "--file", "{trial}/day.toml"],
    "a calendar": ["due", "--calendar"],
    "a key": ["key", "renew"],
    "a passphrase": ["key", "protect", "--passphrase-file", "{trial}/word"],
    "a picture": ["picture", "add", "n1", "{trial}/pond.png"],
    "publishing": ["publish"],
    "a new catalog": ["init", "{trial}/new", "--artist", "B. Another"],
    "the first write in an old catalog": ["party", "add", "C. Other"],
    "an import": ["import", "negatives", "{trial}/plates.csv", "--apply"],
    "an import without some": ["import", "negatives", "{trial}/some.csv", "--apply", "--leave-refused"],
    "a look at a list": ["import", "negatives", "{trial}/plates.csv"],
    "a backup": ["backup", "{trial}/copies"],
    "a restore elsewhere": ["restore", "{trial}/copies", "--into", "{trial}/restored"],
    "a restore": ["restore", "{trial}/copies", "--anyway", "x"],
    "a bag": ["export", "bag", "{trial}/bag"],
    "a bag brought back": ["import", "bag", "{trial}/packed", "--into", "{trial}/rebuilt"],
    "a gallery's list": ["export", "gallery", "{trial}/works.csv"],
    "linked data": ["export", "linked-data", "{trial}/works.jsonld"],
    "schema pages": ["export", "schema", "{trial}/pages"],
}
# After these the rows are as before also when all went well.
NO_ROWS = {
    "a certificate drawn again", "labels", "a provenance", "a calendar", "publishing", "a passphrase", "a new catalog",
    "a look at a list", "a backup", "a restore elsewhere", "a bag", "a bag brought back", "a gallery's list",
    "linked data", "schema pages",
}  # fmt: skip


def prepared(folder: Path) -> Path:
    """What each trial begins with: a catalog with a signed print, a certificate and a picture, and files to read."""
    from PIL import Image

    trial = folder / "first"
    trial.mkdir(parents=True)
    begun(trial / "catalog")
    Image.new("L", (8, 8)).save(trial / "pond.png")
    (trial / "word").write_text("a long passphrase of words\n")
    (trial / "plates.csv").write_text("Title,Made\nOne,1998\nTwo,c. 1950\n")
    (trial / "some.csv").write_text("Title,Made\nOne,1998\nTwo,c. 1950,too many\n")
    for line in (
        ["sign", "1", "--anyway", "x"],
        ["certificate", "issue", "1", "--anyway", "x"],
        ["picture", "add", "n1", str(trial / "pond.png")],
        ["certificate", "revoke", "c1", "--why", "x"],
        ["promise", "e1:9", "--to", "Buyer", "--until", "2030-01-01"],
        ["backup", str(trial / "copies")],
        ["export", "bag", str(trial / "packed")],
        ["print", "make", "e1", "1"],
    ):
        assert run(["--catalog", str(trial / "catalog"), *line]) == 0, line
    return trial


def tree(folder: Path) -> dict[str, bytes]:
    """Every file but the catalog itself and what grew hidden."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and not path.name.startswith((".tirage-", "catalog.db")) and "/.public-" not in str(path)
    }


def every_byte(folder: Path) -> dict[str, bytes]:
    """Every file with what it holds; folders without files too."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() if path.is_file() else b""
        for path in sorted(folder.rglob("*"))
    }


def rows(folder: Path) -> dict[str, list[tuple[object, ...]]]:
    opened = sqlite3.connect(folder / "catalog.db")
    try:
        return dump(opened)
    finally:
        opened.close()


class Told(NamedTuple):
    """What a trial gave."""

    status: int
    out: str
    err: str
    fired_by: str


def trial(shim: ctypes.CDLL, folder: Path, line: list[str], nth: int, kind: Kind) -> Told:
    """Run one line in a child whose disk fails at its nth call."""
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(reading)
            sys.stdout, sys.stderr = out, err = StringIO(), StringIO()
            words = [word.replace("{trial}", str(folder)) for word in line]
            shim.fault_arm(str(folder).encode(), nth, kind.number, kind.stays, kind.short)
            status = run(["--catalog", str(folder / "catalog"), *words])
            fired = shim.fault_fired_by().decode()
            shim.fault_arm(b"", 0, 0, 0, 0)
            os.write(writing, json.dumps([status, out.getvalue(), err.getvalue(), fired]).encode())
        finally:
            os._exit(0)
    os.close(writing)
    with os.fdopen(reading, "rb") as pipe:
        told = pipe.read()
    os.waitpid(pid, 0)
    found = Told(*json.loads(told))
    # An import that left rows out exits 1, and is done.
    return found._replace(status=0) if "--leave-refused" in line and "\nAdded " in found.out else found


def told_well(name: str, told: Told) -> None:
    """Done, or a sentence."""
    assert told.status in (0, 1), (name, told)
    assert "nobody foresaw" not in told.err and "Traceback" not in told.err + told.out, (name, told)
    if told.status == 1:
        assert told.err.strip().startswith(("tirage: ", "Mind: ", "This catalog", "Session ")), (name, told)
        assert len(told.err) > 30, (name, told)


def look(shim: ctypes.CDLL, name: str, folder: Path, before: Before, told: Told) -> str:
    """What came of one failure; AssertionError for anything but nothing, or all of it."""
    catalog, where = folder / "catalog", (name, told)
    if (catalog / store.RESTORING).exists():
        assert told.status == 1 and "tirage restore --finish" in told.err, where
        done = trial(shim, folder, ["restore", "--finish"], 0, KINDS["error once"])
        assert done.status == 0, (where, done)
        told = told._replace(err=f"safe {told.err}")
    after = rows(catalog)
    changed = after != before[0]
    if told.status == 1 and changed and name != "the first write in an old catalog":
        assert "could not be" in told.err or "is safe" in told.err or "safe" in told.err, where
        assert "othing was changed" not in told.err and "othing in the catalog was changed" not in told.err, where
    if told.status == 0:
        assert changed or name in NO_ROWS, where
    files = tree(folder)
    for path, content in before[1].items():
        assert path in files, (path, where)
        if path.startswith("catalog/keys/") and name == "a passphrase":
            assert files[path].endswith((b"-----END PRIVATE KEY-----\n", b"-----END ENCRYPTED PRIVATE KEY-----\n")), (
                where
            )
        elif not path.startswith(("catalog/out/", "catalog/public/", "catalog/backups.json")):
            assert files[path] == content, (path, where)
    for path in files.keys() - before[1].keys():
        whole(folder / path, where)
    new = {folder / Path(*Path(path).parts[:2]) for path in files.keys() - before[1].keys()}
    for one in backups.look(folder / "copies").backups if (folder / "copies").exists() else ():
        assert one.folder not in new or one.doubtful or backups.verify(one) == [], (one, where)
    if (folder / "bag").exists():
        validate(folder / "bag", lambda done, total: None)
    for built in ("rebuilt", "restored"):
        if (folder / built / "catalog.db").exists() and not (folder / built / store.RESTORING).exists():
            hold(folder / built, where)
    hold(catalog, where, thorough=changed)
    return f"done ({told.fired_by})" if told.status == 0 else "rows kept, file not" if changed else "nothing changed"


def hold(catalog: Path, where: object, thorough: bool = False) -> None:
    """A catalog is whole: its pages, its history, every row; `thorough`: nothing that `check` calls an error."""
    opened = store.open_catalog(catalog, writing=False)
    try:
        assert opened.execute("PRAGMA integrity_check").fetchone()[0] == "ok", where
        assert journal.prove(opened) == [] and journal.unsealed_rows(opened) == 0, where
        assert list(row_proof.differences(opened)) == [], where
        if thorough:
            errors = [one.sentence for one in check(opened, catalog) if one.severity == "error"]
            assert [one for one in errors if "keys/" not in one] == [], (errors, where)
    finally:
        opened.close()


def whole(path: Path, where: object) -> None:
    """A new file under a final name is never half of one."""
    import pikepdf
    from PIL import Image

    if path.suffix == ".pdf":
        with pikepdf.open(path) as opened:
            assert opened.pages, where
    elif path.suffix == ".pem":
        assert path.read_bytes().endswith(b"KEY-----\n"), where
    elif path.suffix in (".png", ".jpg"):
        with Image.open(path) as picture:
            picture.load()
    elif path.suffix == ".toml":
        assert path.read_bytes().endswith(b"\n"), where
    elif path.suffix == ".ics":
        assert path.read_bytes().endswith(b"END:VCALENDAR\r\n"), where
    elif path.suffix == ".db":
        assert sqlite3.connect(path).execute("PRAGMA integrity_check").fetchone()[0] == "ok", where


def play(shim: ctypes.CDLL, first: Path, name: str, kind: Kind, step: int) -> Counter[str]:
    """Every failure of one kind at every call of one command, or at every so-manieth."""
    figures: Counter[str] = Counter()
    folder, begin = first.parent / "trial", first.parent / "begin"
    shutil.rmtree(begin, ignore_errors=True)
    needless = {"copies", "packed"} - {word.removeprefix("{trial}/") for word in LINES[name]}
    shutil.copytree(first, begin, ignore=lambda here, names: needless & set(names))
    if name == "the first write in an old catalog":
        shutil.rmtree(begin / "catalog")
        build(begin / "catalog")
    before, bytes_before = (rows(begin / "catalog"), tree(begin)), every_byte(begin)
    for nth in range(1, MOST, step):
        shutil.rmtree(folder, ignore_errors=True)
        shutil.copytree(begin, folder)
        told = trial(shim, folder, LINES[name], nth, kind)
        if not told.fired_by:
            assert told.status == 0, (name, told)
            return figures
        figures["failures"] += 1
        told_well(name, told)
        if told.status == 1 and every_byte(folder) == bytes_before:
            figures["nothing changed"] += 1
            continue  # nothing is left of it that could stand in the way of another command
        figures[look(shim, name, folder, before, told)] += 1
        if told.status == 1:  # the disk is well again: it goes on from here
            again = trial(shim, folder, LINES[name], 0, kind)
            done = rows(folder / "catalog") != before[0] and name not in NO_ROWS
            assert again.status == 0 or done or "is there already" in again.err or "is not empty" in again.err, (
                name,
                told,
                again,
            )
        else:
            assert trial(shim, folder, ["party", "add", "D. Later"], 0, kind).status == 0, (name, told)
    raise AssertionError(f"{name} goes on after {MOST} failures")


def main() -> None:
    shim = ctypes.CDLL(sys.argv[1])
    shim.fault_fired_by.restype = ctypes.c_char_p
    os.environ["TIRAGE_BY"] = "tester"
    told, sys.stdout = sys.stdout, StringIO()
    first = prepared(Path(sys.argv[2]))
    names, kinds, step = sys.argv[3].split("|"), sys.argv[4].split("|"), int([*sys.argv, "1"][5])
    found = {f"{name}, {kind}": play(shim, first, name, KINDS[kind], step) for name in names for kind in kinds}
    sys.stdout = told
    print(json.dumps(found))


if __name__ == "__main__":
    main()
