"""Plain SQL, with foreign keys and recursive triggers off, against every guard."""

import sqlite3
from pathlib import Path

import pytest

from catalog.store import guards, migrations

from .conftest import dump, plain, tirage


def _schema() -> list[guards.Table]:
    connection = sqlite3.connect(":memory:", isolation_level=None)
    migrations.migrate(connection)
    try:
        return [table for table in guards.tables(connection) if table.name != "undoing"]
    finally:
        connection.close()


TABLES = _schema()
BY_NAME = {table.name: table for table in TABLES}
UNIQUES = [(table.name, place) for table in TABLES for place in range(len(table.uniques))]
PARENTS = [(table.name, place) for table in TABLES for place in range(len(table.parents))]


def refused(connection: sqlite3.Connection, sql: str, values: tuple[object, ...] = ()) -> None:
    """The statement raises and leaves every table as it was."""
    before = dump(connection)
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute(sql, values)
    assert dump(connection) == before


def rows(connection: sqlite3.Connection, table: guards.Table, condition: str = "") -> list[sqlite3.Row]:
    where = f" WHERE {condition}" if condition else ""
    return connection.execute(f"SELECT {', '.join(table.columns)} FROM {table.name}{where} ORDER BY 1, 2").fetchall()


def fresh(connection: sqlite3.Connection, table: guards.Table, column: str) -> object:
    """A value of a column that no row has."""
    value = connection.execute(f"SELECT max({column}) FROM {table.name}").fetchone()[0]
    return value + 1000 if isinstance(value, int) else f"{value}x"


@pytest.mark.parametrize("name", BY_NAME)
def test_every_table_has_a_row(built: Path, name: str) -> None:
    assert rows(plain(built), BY_NAME[name]), f"add a line to conftest.LINES that fills {name}"


@pytest.mark.parametrize(("name", "place"), UNIQUES)
def test_insert_or_replace_takes_nothing_over(populated: Path, name: str, place: int) -> None:
    connection, table = plain(populated), BY_NAME[name]
    columns, condition = table.uniques[place]
    kept = {column for column, _ in columns}
    found = rows(connection, table, condition)
    if not found:
        pytest.skip("a partial index whose condition no row meets; its guard is the same text")
    values = {column: found[0][column] for column in table.columns}
    for column in table.primary_key:
        if column not in kept and len(table.primary_key) == 1:
            values[column] = fresh(connection, table, column)
    marks = ", ".join("?" * len(values))
    for verb in ("INSERT OR REPLACE", "REPLACE", "INSERT OR IGNORE", "INSERT"):
        before = dump(connection)
        with pytest.raises(sqlite3.IntegrityError):
            connection.execute(f"{verb} INTO {name} ({', '.join(values)}) VALUES ({marks})", tuple(values.values()))
        assert dump(connection) == before


@pytest.mark.parametrize(("name", "place"), UNIQUES)
def test_update_or_replace_takes_nothing_over(populated: Path, name: str, place: int) -> None:
    connection, table = plain(populated), BY_NAME[name]
    columns, condition = table.uniques[place]
    found = rows(connection, table, condition)
    if len(found) < 2:
        pytest.skip("one row cannot clash")
    one, other = found[0], found[1]
    sets = ", ".join(f"{column} = ?" for column, _ in columns)
    where = " AND ".join(f"{column} = ?" for column in table.primary_key)
    refused(
        connection,
        f"UPDATE OR REPLACE {name} SET {sets} WHERE {where}",
        (*(one[column] for column, _ in columns), *(other[column] for column in table.primary_key)),
    )


@pytest.mark.parametrize("name", [name for name in BY_NAME if name not in guards.DELETABLE])
def test_nothing_is_deleted(populated: Path, name: str) -> None:
    refused(plain(populated), f"DELETE FROM {name}")


@pytest.mark.parametrize("name", BY_NAME)
def test_a_key_never_changes(populated: Path, name: str) -> None:
    connection, table = plain(populated), BY_NAME[name]
    for column in table.primary_key:
        value = fresh(connection, table, column)
        for verb in ("UPDATE", "UPDATE OR REPLACE", "UPDATE OR IGNORE"):
            refused(connection, f"{verb} {name} SET {column} = ?", (value,))


@pytest.mark.parametrize(("name", "place"), PARENTS)
def test_a_parent_exists(populated: Path, name: str, place: int) -> None:
    connection, table = plain(populated), BY_NAME[name]
    _, columns = table.parents[place]
    sets = ", ".join(f"{column} = ?" for column, _ in columns)
    unknown: list[object] = []
    for column, _ in columns:
        kind = next(row[2] for row in connection.execute(f"PRAGMA table_info({name})") if row[1] == column)
        unknown.append(987_654 if kind == "INTEGER" else "unknown")
    refused(connection, f"UPDATE {name} SET {sets}", tuple(unknown))
    row = dict(rows(connection, table)[0])
    row.update(zip((column for column, _ in columns), unknown, strict=True))
    for column in table.primary_key:
        if column not in dict(columns) and len(table.primary_key) == 1:
            row[column] = fresh(connection, table, column)
    refused(
        connection, f"INSERT INTO {name} ({', '.join(row)}) VALUES ({', '.join('?' * len(row))})", tuple(row.values())
    )


@pytest.mark.parametrize("name", sorted(guards.APPEND_ONLY))
def test_append_only_rows_are_never_altered(populated: Path, name: str) -> None:
    connection, table = plain(populated), BY_NAME[name]
    for column in table.columns:
        refused(connection, f"UPDATE {name} SET {column} = {column}")


SALE = """INSERT INTO transfer
    (item, sequence, kind, from_party, to_party, title, custody, happened, earliest, latest, by)
    VALUES ({item}, {sequence}, '{kind}', {giver}, {taker}, 1, 1, '2026-04-01', '2026-04-01', '2026-04-01', 'x')"""
MOVE = """INSERT INTO movement (item, to_place, happened, earliest, latest, by)
    VALUES ({item}, 1, '2026-04-01', '2026-04-01', '2026-04-01', 'x')"""
PRINT = "(SELECT id FROM code WHERE code = 'P-00000{}')"
MINE, BUYER = "(SELECT artist FROM catalog)", "(SELECT id FROM party WHERE name = 'B. Buyer')"
EDITION = "(SELECT id FROM code WHERE code = 'E-0001')"
FORBIDDEN = {
    "one number more than declared": f"INSERT INTO edition_number VALUES ({EDITION}, 'numbered', 6, 'given')",
    "one proof more than declared": f"INSERT INTO edition_number VALUES ({EDITION}, 'AP', 3, 'given')",
    "a print past the size": f"UPDATE print SET kind = 'numbered', number = 6 WHERE id = {PRINT.format(4)}",
    "a given number a second time": f"UPDATE print SET kind = 'numbered', number = 1 WHERE id = {PRINT.format(4)}",
    "another number": f"UPDATE print SET number = 4 WHERE id = {PRINT.format(3)}",
    "no number any more": f"UPDATE print SET number = NULL, kind = NULL WHERE id = {PRINT.format(3)}",
    "a larger edition": f"UPDATE edition SET size = 10 WHERE id = {EDITION}",
    "a smaller edition": f"UPDATE edition SET size = 4 WHERE id = {EDITION}",
    "an open edition": f"UPDATE edition SET size = NULL WHERE id = {EDITION}",
    "more proofs": f"UPDATE edition_proofs SET count = 9 WHERE edition = {EDITION}",
    "another kind of proof": f"INSERT INTO edition_proofs VALUES ({EDITION}, 'HC', 1)",
    "a number given free": "UPDATE edition_number SET standing = 'free' WHERE number = 1",
    "another image": f"UPDATE edition SET image_height = 1 WHERE id = {EDITION}",
    "a second sale": SALE.format(item=PRINT.format(1), sequence=2, kind="sale", giver=MINE, taker=BUYER),
    "a sale by somebody else": SALE.format(item=PRINT.format(2), sequence=1, kind="sale", giver=BUYER, taker=MINE),
    "a transfer out of turn": SALE.format(item=PRINT.format(2), sequence=2, kind="sale", giver=MINE, taker=BUYER),
    "a sold print moved": MOVE.format(item=PRINT.format(1)),
    "an owner by hand": f"UPDATE standing SET owner = {BUYER} WHERE item = {PRINT.format(2)}",
    "a state by hand": "UPDATE negative SET state = 'destroyed'",
    "a replacement of a living print": f"""UPDATE print SET kind = 'numbered', number = 2, replaces = {PRINT.format(2)}
        WHERE id = {PRINT.format(4)}""",
    "a certificate for an unsigned print": f"""INSERT INTO certificate (id, print, issued, earliest, latest, facts,
        private_facts, jws, key, by)
        VALUES ({PRINT.format(4)}, {PRINT.format(4)}, '2026', '', '', '', '', '', 1, 'x')""",
    "an older seal undone": "INSERT INTO undoing VALUES (1)",
    "a print destroyed by hand": f"UPDATE print SET state = 'destroyed' WHERE id = {PRINT.format(2)}",
    "an inscription by hand": "UPDATE inscription SET text = 'another'",
}


@pytest.mark.parametrize("what", FORBIDDEN)
def test_plain_sql_cannot(populated: Path, what: str) -> None:
    refused(plain(populated), FORBIDDEN[what])


def test_a_certificate_is_not_taken_back_by_an_undoing_begun_by_hand(populated: Path) -> None:
    assert tirage(populated, "certificate issue 1 --supersedes c1") == 0
    connection = plain(populated)
    newest = connection.execute("SELECT max(id) FROM journal_seal").fetchone()[0]
    connection.execute("BEGIN")
    connection.execute("INSERT INTO undoing VALUES (?)", (newest,))
    with pytest.raises(sqlite3.IntegrityError):
        connection.execute("DELETE FROM certificate WHERE id = (SELECT max(id) FROM certificate)")
    connection.execute("ROLLBACK")


def test_a_recorded_death_stays(populated: Path) -> None:
    connection = plain(populated)
    connection.execute(f"UPDATE party SET died = '2020', died_latest = '2020-12-31' WHERE id = {BUYER}")
    refused(connection, f"UPDATE party SET died_latest = '' WHERE id = {BUYER}")


def test_what_is_destroyed_stays_so(populated: Path) -> None:

    assert tirage(populated, "destroy 2 --why torn --on 2026-03-20") == 0
    connection = plain(populated)
    for statement in (
        MOVE.format(item=PRINT.format(2)),
        SALE.format(item=PRINT.format(2), sequence=2, kind="sale", giver=MINE, taker=BUYER),
        f"UPDATE print SET state = 'living' WHERE id = {PRINT.format(2)}",
        f"UPDATE print SET kind = 'numbered', number = 2 WHERE id = {PRINT.format(4)}",
    ):
        refused(connection, statement)


def test_a_cancelled_negative_makes_no_new_print(populated: Path) -> None:

    assert tirage(populated, "negative state n1 cancelled --on 2026-03-20") == 0
    connection = plain(populated)
    connection.execute("INSERT INTO code (code, kind, serial) VALUES ('P-000099', 'print', 99)")
    connection.execute("INSERT INTO item SELECT id, 'print' FROM code WHERE code = 'P-000099'")
    refused(
        connection,
        f"""INSERT INTO print (id, negative, made, earliest, latest) SELECT id,
        (SELECT id FROM code WHERE code = 'N-0001'), '2026-04-01', '2026-04-01', '2026-04-01' FROM code
        WHERE code = {"'P-000099'"}""",
    )


@pytest.mark.parametrize("name", [table.name for table in TABLES if len(table.primary_key) > 1])
def test_a_hidden_row_number_takes_nothing_over(populated: Path, name: str) -> None:
    """A table with a key of several columns must not have a second, hidden key that nothing guards."""
    connection = plain(populated)
    columns = ", ".join(BY_NAME[name].columns)
    before = dump(connection)
    with pytest.raises(sqlite3.Error):
        connection.execute(f"INSERT OR REPLACE INTO {name} (rowid, {columns}) SELECT 1, {columns} FROM {name} LIMIT 1")
    with pytest.raises(sqlite3.Error):
        connection.execute(f"UPDATE OR REPLACE {name} SET rowid = 1 WHERE rowid = 2")
    assert dump(connection) == before
