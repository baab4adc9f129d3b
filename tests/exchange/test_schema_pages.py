"""The documented schema: nothing without a meaning, no link that leads nowhere, SQL that makes the same database."""

import re
import sqlite3
from pathlib import Path

import pytest

from catalog.exchange.described import described, meaning, referring
from catalog.exchange.schema_pages import FORM, INDEX, pages
from catalog.store import guards, migrations

LINK = re.compile(r"\[[^\]]+\]\(([^)]+)\)")


@pytest.fixture(scope="module")
def database() -> sqlite3.Connection:
    """An empty database of the newest schema."""
    connection = sqlite3.connect(":memory:", isolation_level=None)
    migrations.migrate(connection)
    return connection


def test_every_table_and_every_column_has_a_meaning(database: sqlite3.Connection) -> None:
    tables = described(database)
    assert {table.name for table in tables} - {"sqlite_sequence"} == {one.name for one in guards.tables(database)}
    without = [f"{table.name}.{column.name}" for table in tables for column in table.columns if not column.meaning]
    assert without == []
    assert [table.name for table in tables if not table.purpose] == []


def test_the_glossary_speaks_of_nothing_that_is_not_there(database: sqlite3.Connection) -> None:
    import tomllib

    from catalog.exchange.described import GLOSSARY

    glossary = tomllib.loads(GLOSSARY.read_text(encoding="utf-8"))
    there = {table.name: {column.name for column in table.columns} for table in described(database)}
    assert set(glossary) - {"shared"} <= set(there)
    assert [f"{table}.{name}" for table, words in glossary.items() if table != "shared"
            for name in words if name not in there[table]] == []  # fmt: skip


def test_what_is_measured_names_its_unit() -> None:
    units = {
        ("negative", "height"): "micrometres",
        ("negative", "weight"): "milligrams",
        ("bath", "volume"): "Millilitres",
        ("step", "seconds"): "seconds",
        ("step", "celsius"): "thousandths of a degree",
        ("residual_test", "value"): "nanograms a square centimetre",
        ("edition_price", "amount"): "minor units",
        ("transfer", "commission"): "hundredths of a per cent",
        ("density", "value"): "thousandths",
        ("recipe_exposure", "stops"): "thousandths of a stop",
    }
    assert [place for place, unit in units.items() if unit not in meaning(*place)] == []


def test_every_link_leads_to_a_page(database: sqlite3.Connection) -> None:
    found = pages(database)
    for name, text in found.items():
        assert set(LINK.findall(text)) <= set(found), name
    assert {f"{table.name}.md" for table in described(database)} <= set(LINK.findall(found[INDEX]))


def test_a_page_says_what_it_points_to_and_what_points_to_it(database: sqlite3.Connection) -> None:
    found = pages(database)
    assert "Points to [edition](edition.md)" in found["print.md"]
    assert "[print](print.md)" in found["edition.md"].partition("Pointed to by: ")[2].splitlines()[0]
    assert "`edition`, `kind`, `number` together point to [edition_number](edition_number.md)" in found["promise.md"]
    assert "- Only its owner can sell or give a thing, and once." in found["transfer.md"]
    assert "guard" not in found["print.md"]
    assert referring(described(database))["edition_number"] == ["promise"]


def test_the_sql_makes_the_same_database(database: sqlite3.Connection) -> None:
    other = sqlite3.connect(":memory:")
    other.executescript(pages(database)[FORM])
    assert migrations.schema(other) == migrations.schema(database)


def test_the_command_writes_new_folders_only(demo_folder: Path, tmp_path: Path) -> None:
    from catalog.cli.main import run

    assert run(["--catalog", str(demo_folder), "export", "schema", str(tmp_path / "schema")]) == 0
    assert (tmp_path / "schema" / INDEX).read_text(encoding="utf-8").startswith("# The tables")
    assert run(["--catalog", str(demo_folder), "export", "schema", str(tmp_path / "schema")]) == 1
