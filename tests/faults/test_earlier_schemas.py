"""A catalog of every earlier schema opened by today's program, and a newer one that no command touches."""

import re
import shlex
import sqlite3
from pathlib import Path

import click
import pytest

from catalog.cli.main import run, tirage
from catalog.store import connection as store
from catalog.store import journal, migrations
from tests.store.old_catalog import VERSIONS, build
from tests.store.test_migrations import columns_of, rows_of

READERS = (
    *("print show 1", "edition show e1", "negative show n1", "where 1", "due", "history 3", "key show", "bath list"),
    "provenance 2 --json",
)


@pytest.fixture(params=VERSIONS)
def old(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("TIRAGE_BY", "tester")
    return build(tmp_path / f"schema {request.param}", request.param)


def version_of(folder: Path) -> int:
    return int(folder.name.split()[1])


class Typed:
    """Lines typed on one catalog, and what they said."""

    def __init__(self, folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
        self.folder, self.capsys = folder, capsys

    def __call__(self, line: str) -> tuple[int, str, str]:
        self.capsys.readouterr()
        status = run(["--catalog", str(self.folder), *shlex.split(line)])
        return (status, *self.capsys.readouterr())


@pytest.fixture
def typed(old: Path, capsys: pytest.CaptureFixture[str]) -> Typed:
    return Typed(old, capsys)


def test_there_is_a_catalog_of_every_earlier_schema() -> None:
    assert tuple(range(1, migrations.SCHEMA_VERSION)) == VERSIONS


def test_readers_answer_and_leave_the_file_alone(old: Path, typed: Typed) -> None:
    before, modified = (old / "catalog.db").read_bytes(), (old / "catalog.db").stat().st_mtime_ns
    for line in READERS:
        status, out, err = typed(line)
        assert status == 0 and out and not err, (line, out, err)
    assert "error" not in typed("check --json")[1]
    assert (old / "catalog.db").read_bytes() == before and (old / "catalog.db").stat().st_mtime_ns == modified
    assert not [path.name for path in old.iterdir() if path.name.startswith("catalog") and path.name != "catalog.db"]


def test_after_the_first_write_everything_is_as_before(old: Path, typed: Typed) -> None:
    columns = columns_of(old / "catalog.db")
    rows = rows_of(old / "catalog.db", columns)
    answers = {line: typed(line) for line in READERS}
    status, _, err = typed("party add 'D. Newcomer'")
    assert status == 0 and f"schema {version_of(old)}" in err
    kept = old / f"catalog-schema-{version_of(old)}.db"
    assert rows_of(kept, columns) == rows
    assert sqlite3.connect(kept).execute("PRAGMA user_version").fetchone()[0] == version_of(old)
    now = rows_of(old / "catalog.db", columns)
    for table, found in rows.items():
        assert now[table][: len(found)] == found, table
    assert {line: typed(line) for line in answers} == answers
    assert "error" not in typed("check --json")[1]
    with store.open_catalog(old, writing=False) as opened:
        assert migrations.schema(opened) == migrations.shipped_schema()
        assert journal.prove(opened) == [] and journal.unsealed_rows(opened) == 0


def test_its_certificates_verify(old: Path, typed: Typed) -> None:
    """Each is drawn from the facts as they were frozen, and proves itself by the key the catalog has."""
    standing = sorted(set(re.findall(r"C-\d{4}", typed("certificate list")[1])))
    assert len(standing) == (1 if version_of(old) == 1 else 6)
    for code in {standing[0], standing[-1]}:
        status, out, err = typed(f"certificate show {code} --draw")
        assert status == 0, err
        paper = re.search(r"out/\S+\.pdf", out)
        assert paper, out
        status, out, err = typed(f"certificate verify '{old / paper[0]}'")
        assert "is genuine" in out or status == 0 or "revoked" in out + err or "superseded" in out + err, (out, err)
    assert typed("party add 'D. Newcomer'")[0] == 0
    assert typed(f"certificate verify '{old / 'out' / 'certificate-C-0001.pdf'}'")[0] == 0


def test_its_newest_commands_can_be_taken_back(old: Path, typed: Typed) -> None:
    for taken in {1: ("correct", "shown"), 2: ("correct", "consign", "move"), 3: ("correct", "consign", "move")}[
        version_of(old)
    ]:
        status, out, err = typed("undo")
        assert status == 0 and f"Taken back: {taken} " in out, (out, err)
    assert "error" not in typed("check --json")[1]


def leaves(command: click.Command, path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    """Every command of the program, as the words that lead to it."""
    if isinstance(command, click.Group):
        context = click.Context(command)
        found = [(name, command.get_command(context, name)) for name in command.list_commands(context)]
        return [leaf for name, one in found if one for leaf in leaves(one, (*path, name))]
    return [path]


def test_a_newer_catalog_is_touched_by_no_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder = build(tmp_path / "newer", VERSIONS[-1])
    with sqlite3.connect(folder / "catalog.db") as opened:
        opened.execute(f"PRAGMA user_version = {migrations.SCHEMA_VERSION + 1}")
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    refused = 0
    for path in leaves(tirage):
        if path[0] in ("init", "demo", "browse", "convert", "restore"):
            continue
        for words in ([], ["n1"], ["1", "2"], ["1", "Buyer", "900EUR"]):
            status = run(["--catalog", str(folder), *path, *words])
            told = capsys.readouterr()
            assert status != 3, (path, words, told.err)
            refused += "newer version" in told.err
    assert refused > 60
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before
