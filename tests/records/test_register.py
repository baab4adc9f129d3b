"""The register of numbers: what the trade expects of it, tried with the database's own means as well.

Each rule with its source. Where none is published, the rule says so; the database holds it all the same.
"""

import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest

from catalog.cli.main import run

LINES = (
    "paper add warm12 warm-tone",
    "negative add Pond --made 2026-01-02 --size 8x10in --on 2026-01-02",
    "edition declare n1 4 --ap 2 --pp 1 --on 2026-03-01",
    "print make e1 6 --on 2026-03-02",
    "print make n1 1 --on 2026-03-02",
    "sign 1-2 --on 2026-03-03 --anyway x",
    "sign 3 --as ap --on 2026-03-03 --anyway x",
    "promise e1:4 --to Ada --on 2026-03-03",
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("register") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker", "--by", "tester"]) == 0
    for line in LINES:
        assert tirage(folder, line) == 0, line
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    import shutil

    return Path(shutil.copytree(built, tmp_path / "catalog"))


@pytest.fixture
def plain(folder: Path) -> Iterator[sqlite3.Connection]:
    """The file as any other program opens it, its checks of keys off."""
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    yield connection
    connection.close()


def tirage(folder: Path, line: str) -> int:
    return run(["--catalog", str(folder), *line.split()])


def asked(folder: Path, sql: str) -> list[tuple[object, ...]]:
    with sqlite3.connect(folder / "catalog.db") as connection:
        return connection.execute(sql).fetchall()


def numbers(folder: Path) -> dict[object, object]:
    """Print -> number, of the numbered run."""
    return {row[0]: row[1] for row in asked(folder, NUMBERED)}


NUMBERED = "SELECT code.code, number FROM print JOIN code USING (id) WHERE print.kind = 'numbered'"
# rule, its source -> plain SQL that would break it, words of the refusal
PRINT = "(SELECT id FROM code WHERE code = 'P-00000{}')"
INVARIANTS = {
    "numerators are unique (Tamarind Book of Lithography: 1/20 says “one of twenty”)": (
        f"UPDATE print SET kind = 'numbered', number = 1 WHERE id = {PRINT.format(4)}",
        "given to another print|taken",
    ),
    "no numerator beyond N (Georgia OCGA 10-1-430: limited to a maximum)": (
        f"UPDATE print SET kind = 'numbered', number = 5 WHERE id = {PRINT.format(4)}",
        "no more numbers or proofs than declared",
    ),
    "N never changes after the first signed print (common practice, no source)": (
        "UPDATE edition SET size = 5",
        "never changes after the first signed print",
    ),
    "every kind of proof has its own line and count (IPCNY glossary; Wellcome Collection, State element)": (
        f"UPDATE print SET kind = 'PP', number = 2 WHERE id = {PRINT.format(4)}",
        "no more numbers or proofs than declared",
    ),
    "the declared proofs never grow (common practice, no source)": (
        "UPDATE edition_proofs SET count = 9 WHERE kind = 'AP'",
        "never change after the first signed print",
    ),
    "a number is not taken away again (common practice, no source)": (
        f"UPDATE print SET kind = 'numbered', number = 3 WHERE id = {PRINT.format(1)}",
        "by a recorded correction only",
    ),
    "a given number is not free again (common practice, no source)": (
        "UPDATE edition_number SET standing = 'free' WHERE number = 1 AND kind = 'numbered'",
        "once given or void stays so",
    ),
    "a replacement needs a destroyed first (common practice, no source)": (
        f"UPDATE print SET kind = 'numbered', number = 1, replaces = {PRINT.format(1)} WHERE id = {PRINT.format(4)}",
        "only a destroyed print",
    ),
    "a state of a print is a recorded happening (common practice, no source)": (
        f"UPDATE print SET state = 'destroyed' WHERE id = {PRINT.format(1)}",
        "by a transfer only",
    ),
    "an edition closes at or above the highest number given (common practice, no source)": (
        """INSERT INTO edition_event (edition, state, closed_at, happened, earliest, latest, by)
        SELECT id, 'closed early', 1, '2026-04-01', '2026-04-01', '2026-04-01', 'x' FROM edition""",
        "at or above the highest number given",
    ),
    "numerals are as on the signed prints (common practice, no source)": (
        "UPDATE edition SET numerals = 'roman'",
        "never changes after the first signed print",
    ),
    "a disclosure stays as it was printed (common practice, no source)": (
        "UPDATE edition SET disclosure = 'other words'",
        "never changes after the first signed print",
    ),
}


@pytest.mark.parametrize("rule", INVARIANTS)
def test_plain_sql_breaks_no_rule(plain: sqlite3.Connection, rule: str) -> None:
    statement, words = INVARIANTS[rule]
    with pytest.raises(sqlite3.IntegrityError, match=words):
        plain.execute(statement)


def test_errata_and_endings_are_never_taken_away(folder: Path, plain: sqlite3.Connection) -> None:
    for line in ("edition erratum e1 slip", "promise e1:4 --withdraw", "edition cancel e1 --negative kept --why over"):
        assert tirage(folder, line) == 0, line
    for table in ("edition_erratum", "edition_event"):
        for statement in (f"DELETE FROM {table}", f"UPDATE {table} SET by = 'another'"):
            with pytest.raises(sqlite3.IntegrityError):
                plain.execute(statement)
    with pytest.raises(sqlite3.IntegrityError, match="does not open again"):
        plain.execute("UPDATE edition SET state = 'declared'")
    with pytest.raises(sqlite3.IntegrityError, match="once given or void stays so"):
        plain.execute("UPDATE edition_number SET standing = 'free' WHERE standing = 'void'")


def test_numbers_are_handed_out_in_order_out_of_order_or_kept_for_someone(folder: Path) -> None:
    assert tirage(folder, "sign 4 --as 4 --anyway x") == 0  # promised: the number goes to its print
    assert tirage(folder, "sign 5 --anyway x") == 0
    assert numbers(folder) == {"P-000001": 1, "P-000002": 2, "P-000004": 4, "P-000005": 3}
    assert asked(folder, "SELECT ended FROM promise") == [("",)]  # kept by who gets the print
    assert tirage(folder, "sign 6 --anyway x") == 1  # no fifth


LOSS = f"""INSERT INTO transfer (item, sequence, kind, from_party, title, custody, happened, earliest, latest, by)
    SELECT {PRINT.format(2)}, 1, 'loss', artist, 0, 1, '2026-04-01', '2026-04-01', '2026-04-01', 'x' FROM catalog"""


def test_a_destroyed_number_goes_to_its_replacement_only(folder: Path) -> None:
    assert tirage(folder, "destroy 2 --why torn") == 0
    assert tirage(folder, "sign 4 --as 2 --anyway x") == 1
    assert tirage(folder, "sign 4 --anyway x") == 0
    assert tirage(folder, "replace 2 5") == 0 and tirage(folder, "replace 2 6") == 1
    assert numbers(folder) == {"P-000001": 1, "P-000002": 2, "P-000004": 3, "P-000005": 2}


def test_a_lost_number_goes_to_nobody(folder: Path) -> None:
    with sqlite3.connect(folder / "catalog.db") as connection:
        connection.execute(LOSS)
    assert tirage(folder, "sign 4 --as 2 --anyway x") == 1
    assert tirage(folder, "replace 2 4") == 1  # it may be found
    assert tirage(folder, "sign 4 --anyway x") == 0
    assert numbers(folder) == {"P-000001": 1, "P-000002": 2, "P-000004": 3}


def test_a_print_made_before_the_edition_stays_outside_its_counts(folder: Path) -> None:
    found = asked(folder, f"SELECT kind, number, edition FROM print WHERE id = {PRINT.format(7)}")
    assert found == [("work", None, None)]
