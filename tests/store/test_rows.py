"""Many rows written at once, on a table with a guard."""

import sqlite3

import pytest

from catalog.store.rows import AT_ONCE, FEW, insert_many

PLATES = """CREATE TABLE plate (id INTEGER PRIMARY KEY, title TEXT NOT NULL, width INTEGER);
    CREATE TABLE told (id INTEGER PRIMARY KEY, title TEXT);
    CREATE TRIGGER untitled BEFORE INSERT ON plate WHEN NEW.title = ''
        BEGIN SELECT RAISE(ABORT, 'plate: it has no title'); END;
    CREATE TRIGGER tell AFTER INSERT ON plate BEGIN INSERT INTO told (title) VALUES (NEW.title); END;"""
ADD = "INSERT INTO plate (title, width) VALUES (?, ?)"
COUNTS = (0, 1, FEW, FEW + 1, AT_ONCE, AT_ONCE + 1, 2 * AT_ONCE + 7)


@pytest.fixture
def plates() -> sqlite3.Connection:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    connection.executescript(PLATES)
    return connection


@pytest.mark.parametrize("count", COUNTS)
def test_every_row_is_written_in_order_and_every_trigger_runs(plates: sqlite3.Connection, count: int) -> None:
    rows = [(f"Plate {number}", number if number % 3 else None) for number in range(count)]
    insert_many(plates, ADD, iter(rows))
    assert plates.execute("SELECT title, width FROM plate ORDER BY id").fetchall() == rows
    assert plates.execute("SELECT title FROM told ORDER BY id").fetchall() == [row[:1] for row in rows]
    insert_many(plates, ADD, rows)  # nothing is left behind that a second time would meet
    assert plates.execute("SELECT count(*) FROM plate").fetchone()[0] == 2 * count


@pytest.mark.parametrize("refused", [0, FEW, AT_ONCE - 1, AT_ONCE, 2 * AT_ONCE])
def test_a_refused_row_undoes_with_its_savepoint_and_leaves_nothing_behind(
    plates: sqlite3.Connection, refused: int
) -> None:
    rows = [("" if number == refused else "Plate", None) for number in range(2 * AT_ONCE + 1)]
    plates.execute("BEGIN")
    plates.execute("SAVEPOINT adding")
    with pytest.raises(sqlite3.IntegrityError, match="no title"):
        insert_many(plates, ADD, rows)
    plates.execute("ROLLBACK TO adding")
    assert plates.execute("SELECT count(*) FROM plate").fetchone()[0] == 0
    insert_many(plates, ADD, [("Plate", None)] * (FEW + 1))
    assert plates.execute("SELECT count(*) FROM plate").fetchone()[0] == FEW + 1
