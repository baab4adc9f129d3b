"""Whatever list of numbers a studio kept, and in whatever order: it becomes exactly that register, or is refused."""

import datetime
import sqlite3
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog.cli.main import run
from catalog.dates import moment
from catalog.events import Event
from catalog.exchange.importing import headings
from catalog.exchange.importing.frame import Importing, Layout, Options, Row
from catalog.exchange.importing.prints import Prints
from catalog.marks import numeral
from catalog.records import editions, given_before
from catalog.rules.edition_map import edition_map
from catalog.store import connection as store

NOW = datetime.datetime(2026, 6, 1, 12, tzinfo=datetime.UTC)
LIMITS = {"numbered": 25, "AP": 5, "PP": 1}
EVERY = [(kind, number) for kind, most in LIMITS.items() for number in range(1, most + 1)]
REGISTER = "SELECT kind, number, standing FROM edition_number WHERE edition = ?"


@pytest.fixture(scope="module")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[sqlite3.Connection]:
    """A catalog with one edition of 25, five artist's proofs and a printer's proof; every example is taken back."""
    folder = tmp_path_factory.mktemp("numbers") / "studio"
    for line in (
        ["init", str(folder), "--artist", "A. Example"],
        ["--catalog", str(folder), "negative", "add", "Low water", "--made", "1998", "--on", "2026-01-05"],
        ["--catalog", str(folder), "edition", "declare", "n1", "25", "--ap", "5", "--pp", "1", "--on", "1998"],
    ):
        assert run(line) == 0
    connection = store.open_catalog(Path(folder), writing=True)
    yield connection
    connection.close()


def written(kind: str, number: int, numerals: str) -> str:
    """A mark as a person writes it; the numbered run is Arabic always."""
    if kind == "numbered":
        return f"{number}/25"
    return f"{kind} {numeral(number, numerals)}/{numeral(LIMITS[kind], numerals)}"


def brought_in(connection: sqlite3.Connection, rows: list[tuple[str, str, str]]) -> tuple[Prints, list[Row]]:
    """Rows of edition, number and signature, read and added as an import does."""
    names = ("Edition", "No", "Signed")
    found = headings.match(names, Prints.fields)
    layout = Layout(names, {one.field: place for place, one in enumerate(found)}, ())
    work = Importing(connection, Event(moment(None, None, NOW), "tester"), NOW.date(), Options())
    importer = Prints(work)
    all_rows = [Row(line, list(cells), layout) for line, cells in enumerate(rows, 2)]
    read = [(row, draft) for row in all_rows if (draft := importer.read(row)) is not None]
    importer.add(read)
    return importer, all_rows


NUMBERS = st.lists(st.sampled_from(EVERY), unique=True).flatmap(st.permutations)
SIGNED = st.lists(st.sampled_from(["", "yes", "1999", "c. 2003"]), min_size=40, max_size=40)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(NUMBERS, SIGNED, st.sampled_from(["arabic", "roman"]))
def test_any_valid_list_in_any_order_is_exactly_that_register(
    studio: sqlite3.Connection, numbers: list[tuple[str, int]], signed: list[str], numerals: str
) -> None:
    edition = editions.listed(studio)[0]
    studio.execute("BEGIN IMMEDIATE")
    try:
        rows = [("Low water", written(*one, numerals), how) for one, how in zip(numbers, signed, strict=False)]
        importer, all_rows = brought_in(studio, rows)
        assert not [one for row in all_rows for one in row.told if row.refused]
        register = {(row[0], row[1]): row[2] for row in studio.execute(REGISTER, (edition.id,))}
        assert register == dict.fromkeys(numbers, "given")
        held = {(cell.kind, cell.number): cell.code for cell in edition_map(studio, edition) if cell.code}
        assert held == {one: row.code for one, row in zip(numbers, all_rows, strict=True)}
        # What is missing below the highest is told, and the next signature takes the lowest of what is left.
        for kind, most in LIMITS.items():
            mine = {number for of, number in numbers if of == kind}
            gaps = [number for number in range(1, max(mine, default=0)) if number not in mine]
            assert given_before.unlisted(studio, edition).get(kind, []) == gaps
            free = [number for number in range(1, most + 1) if number not in mine]
            if free:
                assert editions.next_number(studio, edition, kind) == free[0]
            else:
                with pytest.raises(editions.EditionFullError):
                    editions.next_number(studio, edition, kind)
        assert any("stand" in line for line in importer.said()) == bool(given_before.unlisted(studio, edition))
    finally:
        studio.execute("ROLLBACK")


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.sampled_from(EVERY), min_size=2, max_size=20))
def test_a_number_told_twice_is_refused_in_every_row_that_tells_it(
    studio: sqlite3.Connection, numbers: list[tuple[str, int]]
) -> None:
    studio.execute("BEGIN IMMEDIATE")
    try:
        _, rows = brought_in(studio, [("E-0001", written(*one, "arabic"), "") for one in numbers])
        for row, one in zip(rows, numbers, strict=True):
            assert row.refused == (numbers.count(one) > 1)
            assert bool(row.thing) != row.refused
    finally:
        studio.execute("ROLLBACK")
