"""Commands killed at random moments, and what the catalog is afterwards. `python -m tests.faults.killed --rounds N`.

One warm process forks a child for each round (two for some); the child types a mixed load through the real command
line and writes an acknowledgement to a pipe when a command has exited 0; the parent kills it after a random time, also
inside a write or an fsync. Then every promise is looked at.
"""

import argparse
import json
import os
import random
import re
import shutil
import signal
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from dataclasses import dataclass, field
from io import StringIO
from pathlib import Path

from catalog.cli.main import run
from catalog.records import artist_keys, certificates, private_keys
from catalog.rules.checks import check
from catalog.store import backup, backups, journal, row_proof
from catalog.store import connection as store
from labels.attachments import attachments
from tests.faults.load import BEGIN, TABLE, begun, copies, lines
from tests.test_any_sequence import BROKEN

LIFE = 50  # rounds after which a new catalog is begun: proving a long chain every round would be most of the time
CODE = re.compile(r"\b([NEPBSKC]-\d{4,})\b")
NUMBER = re.compile(r"^(P-\d+): (\d+)/\d+, signed", re.MULTILINE)
PAPER = re.compile(r"\bout/[\w.+-]+\.pdf")
PROMISES = {name: query for name, query in BROKEN.items() if "declared" not in name}  # those count to another size
LEAST = 0.25  # seconds that a child is given at most, a third of it on average; more on a machine that is busy


@dataclass
class Seen:
    """What was acknowledged of one catalog, and figures of the whole run."""

    seals: set[str] = field(default_factory=set)
    codes: set[str] = field(default_factory=set)
    numbers: dict[str, int] = field(default_factory=dict)
    papers: set[str] = field(default_factory=set)
    whole: set[tuple[str, int]] = field(default_factory=set)  # papers and backups looked at, and when
    backed_up: set[str] = field(default_factory=set)  # seals that the newest backup must hold
    figures: Counter[str] = field(default_factory=Counter)


def child(folder: Path, seed: int, tag: str, pipe: int, prints: int) -> None:
    """Type until killed; each acknowledgement is one line in the pipe, written at once."""
    chance = random.Random(seed)
    for number in range(1000):
        name = f"{tag}.{number}"
        os.environ["TIRAGE_BY"] = name
        line = lines(chance, folder, prints, name)
        if line[0] == "import":
            (folder.parent / f"plates-{tag}.csv").write_text(TABLE.format(name))
            line = [word.replace("plates.csv", f"plates-{tag}.csv") for word in line]
        sys.stdout, sys.stderr = out, err = StringIO(), StringIO()
        status = run(["--catalog", str(folder), *line])
        told = {"name": name, "line": line, "status": status, "out": out.getvalue()[:3000], "err": err.getvalue()[:800]}
        os.write(pipe, json.dumps(told).encode() + b"\n")
        if line[:2] == ["print", "make"] and status == 0:
            prints += int(line[3])
    os._exit(0)


def fork(folder: Path, seed: int, tag: str, prints: int) -> tuple[int, int]:
    reading, writing = os.pipe()
    pid = os.fork()
    if pid == 0:
        try:
            os.close(reading)
            child(folder, seed, tag, writing, prints)
        finally:
            os._exit(9)
    os.close(writing)
    return pid, reading


def acknowledged(pipe: int) -> list[dict[str, object]]:
    with os.fdopen(pipe, "rb") as file:
        whole = [line for line in file.read().split(b"\n")[:-1] if line]
    return [json.loads(line) for line in whole]


def note(seen: Seen, told: dict[str, object]) -> None:
    """Remember what a command that exited 0 said it had done."""
    out, line = str(told["out"]), told["line"]
    assert isinstance(line, list)
    if told["status"] != 0:
        assert told["status"] == 1, told
        assert "Traceback" not in str(told["err"]), told
        assert "damaged" not in str(told["err"]) and "malformed" not in str(told["err"]), told
        seen.figures["refused"] += 1
        return
    seen.figures["acknowledged"] += 1
    seen.figures[f"acknowledged: {line[0]}"] += 1
    if line[0] == "backup":
        mine = str(told["name"]).partition(".")[0]  # what another one did in this round may have come after
        seen.backed_up = {one for one in seen.seals if one.startswith(f"{mine}.") or not one.startswith(mine[:-1])}
    if line[0] not in ("label", "provenance", "publish", "backup"):
        seen.seals.add(str(told["name"]))
    if line[0] != "undo":
        seen.codes.update(CODE.findall(out))
        seen.papers.update(PAPER.findall(out))
        seen.numbers.update({code: int(number) for code, number in NUMBER.findall(out)})


def look(folder: Path, seen: Seen, tags: dict[str, list[dict[str, object]]], thorough: bool) -> None:
    """Whether every promise holds of the catalog as the kill left it."""
    connection = store.open_catalog(folder, writing=False)  # rolls a hot journal back
    try:
        assert connection.execute("PRAGMA integrity_check").fetchall()[0][0] == "ok"
        assert journal.prove(connection) == [] and journal.unsealed_rows(connection) == 0
        assert list(row_proof.differences(connection)) == []
        assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
        for name, query in PROMISES.items():
            assert connection.execute(query).fetchone() is None, name
        by = [row[0] for row in connection.execute("SELECT by FROM journal_seal ORDER BY id")]
        in_order(by, seen, tags)
        assert seen.seals <= set(by), seen.seals - set(by)
        codes = {row[0] for row in connection.execute("SELECT code FROM code")}
        assert seen.codes <= codes, seen.codes - codes
        numbers_kept(connection, seen)
        papers_whole(connection, folder, seen)
        keys_there(connection, folder)
        backups_hold(copies(folder), seen)
        if thorough:
            errors = [found for found in check(connection, folder) if found.severity == "error"]
            # A key is made before its row: killed in between, it is a stranger, and told of.
            assert [one for one in errors if "keys/" not in one.sentence] == [], errors
    finally:
        connection.close()


def in_order(by: list[str], seen: Seen, tags: dict[str, list[dict[str, object]]]) -> None:
    """Of each person's commands: those acknowledged, in order, and at most the one after that was cut off."""
    for tag, told in tags.items():
        mine = [name for name in by if name.startswith(f"{tag}.")]
        done = [str(one["name"]) for one in told if str(one["name"]) in seen.seals]
        later = mine[len(done) :]
        assert mine[: len(done)] == done, (mine, done)
        assert len(later) <= 1 and all(int(name.rpartition(".")[2]) == len(told) for name in later), (later, told[-1:])
        seen.figures["committed and not told"] += len(later)


def numbers_kept(connection: sqlite3.Connection, seen: Seen) -> None:
    held = dict(
        connection.execute("SELECT c.code, p.number FROM print p JOIN code c USING (id) WHERE p.number IS NOT NULL")
    )
    undone = {
        row[0]
        for row in connection.execute(
            "SELECT c.code FROM journal_seal u JOIN journal_seal s ON s.id = u.undoes, json_each(s.touched) t "
            "JOIN code c ON c.id = t.value"
        )
    }
    for code, number in seen.numbers.items():
        assert held.get(code) == number or code in undone, (code, number, held.get(code))


def papers_whole(connection: sqlite3.Connection, folder: Path, seen: Seen) -> None:
    """Every paper under its final name is whole; certificates are those of the catalog; what grew is hidden."""
    import pikepdf

    for path in (folder / "out").glob("[!.]*"):
        mark = (path.name, path.stat().st_mtime_ns)
        if mark in seen.whole:
            continue
        seen.whole.add(mark)
        with pikepdf.open(path) as opened:
            assert len(opened.pages) > 0
        if path.name.startswith("certificate-C-"):
            held = certificates.coded(connection, path.stem.removeprefix("certificate-"))
            assert held is not None and attachments(path.read_bytes())["certificate.json"] == held.facts.encode(), path
    for name in seen.papers:
        assert (folder / name).is_file(), name
    left = [path.name for path in folder.rglob(".*") if path.is_file()]
    seen.figures["growing files left"] += len(left)
    assert all(name.startswith(".tirage-") and name.endswith(".part") for name in left if "public" not in name), left
    for path in (folder / "public").glob("public.db"):
        assert sqlite3.connect(path).execute("PRAGMA integrity_check").fetchone()[0] == "ok"


def backups_hold(place: Path, seen: Seen) -> None:
    """Every backup that stands there is whole, and the newest holds what one that was told of held."""
    found = backups.look(place) if place.is_dir() else backups.Place((), ())
    assert found.unreadable == ()
    for one in found.backups:
        mark = (one.folder.name, one.folder.stat().st_mtime_ns)
        assert mark in seen.whole or backups.verify(one) == [], one.folder
        seen.whole.add(mark)
    if seen.backed_up:
        assert found.newest_good is not None
        copy = backup.reopened(found.newest_good.folder / store.DATABASE)
        held = {row[0] for row in copy.execute("SELECT by FROM journal_seal")}
        copy.close()
        assert seen.backed_up <= held, seen.backed_up - held


def keys_there(connection: sqlite3.Connection, folder: Path) -> None:
    for key in artist_keys.all_keys(connection):
        assert private_keys.kept(folder, key) == "open", key
    for path in (folder / "keys").glob("*.pem"):
        assert path.stat().st_mode & 0o077 == 0 and path.read_bytes().endswith(b"-----END PRIVATE KEY-----\n")


def one_round(folder: Path, seen: Seen, chance: random.Random, number: int, prints: int, longest: float) -> int:
    """Begin, kill, look; how many prints there are now."""
    tags = [f"r{number}a"] + ([f"r{number}b"] if chance.random() < 0.2 else [])
    begun_at = time.perf_counter()
    children = [(tag, *fork(folder, chance.getrandbits(40), tag, prints)) for tag in tags]
    time.sleep(chance.random() ** 2 * longest)
    for _, pid, _ in children:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
    hot = folder / "catalog.db-journal"
    seen.figures["killed with a journal there"] += hot.exists() and hot.stat().st_size > 0
    told = {tag: acknowledged(pipe) for tag, _, pipe in children}
    for all_told in told.values():
        for one in all_told:
            note(seen, one)
    seen.figures["milliseconds of work"] += round(1000 * (time.perf_counter() - begun_at))
    look(folder, seen, told, thorough=number % 10 == 9)
    return len([code for code in seen.codes if code.startswith("P-")]) + 6


def soak(folder: Path, rounds: int, seed: int) -> Counter[str]:
    """So many rounds in a row; figures of what was met. AssertionError at the first that breaks a promise."""
    from PIL import Image

    folder.mkdir(parents=True, exist_ok=True)
    Image.new("L", (8, 8)).save(folder / "pond.png")
    with open(os.devnull, "w") as nowhere:
        told, sys.stdout = sys.stdout, nowhere
        started = time.perf_counter()
        begun(folder / "first")
        longest = max(LEAST, 7 * (time.perf_counter() - started) / len(BEGIN))
        warm = Path(shutil.copytree(folder / "first", folder / "warm"))
        (folder / "plates.csv").write_text(TABLE.format("warm"))
        for line in (
            ["sign", "1", "--anyway", "x"],
            ["certificate", "issue", "1", "--anyway", "x"],
            ["label", "1"],
            ["publish"],
            ["backup", str(copies(warm))],
            ["import", "negatives", str(folder / "plates.csv"), "--apply"],
        ):  # what is imported once is there in every child
            assert run(["--catalog", str(warm), *line]) == 0, line
        sys.stdout = told
    chance, figures, seen, prints = random.Random(seed), Counter[str](), Seen(), 6
    now, started = folder / "first", time.perf_counter()
    for number in range(rounds):
        if number % LIFE == 0:
            now, prints = Path(shutil.copytree(folder / "first", folder / f"life-{number}")), 6
            seen = Seen(figures=figures)
        prints = one_round(now, seen, chance, number, prints, longest)
        figures["rounds"] += 1
        if number % LIFE == LIFE - 1:
            shutil.rmtree(now)
            shutil.rmtree(copies(now), ignore_errors=True)
    figures["milliseconds a round"] = round(1000 * (time.perf_counter() - started) / max(1, rounds))
    return figures


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--folder", type=Path)
    given = parser.parse_args()
    folder = given.folder or Path(tempfile.mkdtemp(prefix="killed-"))
    print(json.dumps(soak(folder, given.rounds, given.seed)))
    if given.folder is None:
        shutil.rmtree(folder)


if __name__ == "__main__":
    main()
