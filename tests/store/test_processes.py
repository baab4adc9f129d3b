"""Two processes at the same moment."""

import multiprocessing
import sqlite3
from pathlib import Path

from .conftest import plain, tirage


def sign_all(folder: str, first: int, last: int) -> None:
    for serial in range(first, last + 1):
        assert tirage(Path(folder), f"sign {serial} --anyway testing") == 0


def test_two_processes_never_share_a_number(populated: Path) -> None:
    assert tirage(populated, "edition declare n2 20 --process 'salted paper print'") == 0
    assert tirage(populated, "print make e5 20") == 0
    context = multiprocessing.get_context("spawn")
    both = [context.Process(target=sign_all, args=(str(populated), first, first + 9)) for first in (13, 23)]
    for process in both:
        process.start()
    for process in both:
        process.join(120)
    assert [process.exitcode for process in both] == [0, 0]
    connection: sqlite3.Connection = plain(populated)
    numbers = [
        row[0]
        for row in connection.execute(
            "SELECT number FROM print WHERE id IN (SELECT id FROM code "
            "WHERE kind = 'print' AND serial >= 13) ORDER BY number"
        )
    ]
    assert numbers == list(range(1, 21))
    assert connection.execute("SELECT count(*) FROM journal_seal WHERE command = 'sign'").fetchone()[0] >= 20
