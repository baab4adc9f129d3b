"""Whatever is done with how people are reached, and taken back around it, chain, rows and guards stay right."""

import tempfile
from pathlib import Path
from sqlite3 import Connection

from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.records import catalogs, parties, places
from catalog.store import connection as store
from catalog.store import journal
from catalog.store.row_proof import differences

WAYS = st.dictionaries(st.sampled_from(["mail", "telephone", "address"]), st.sampled_from(["", "a", "b"]), max_size=2)
COMMANDS = st.lists(
    st.one_of(
        st.tuples(st.just("add"), WAYS),
        st.tuples(st.just("reach"), st.integers(0, 5), WAYS),
        st.tuples(st.just("forget"), st.integers(0, 5)),
        st.tuples(st.just("list"), st.integers(0, 5), WAYS),  # adds a party, and ways to reach another
        st.just(("place",)),
        st.just(("undo",)),
        st.just(("undo",)),
    ),
    max_size=14,
)
Rows = list[tuple[object, ...]]


def rows(connection: Connection, sql: str) -> Rows:
    return [tuple(row) for row in connection.execute(sql)]


def others(connection: Connection) -> tuple[Rows, Rows]:
    return rows(connection, "SELECT * FROM party ORDER BY id"), rows(connection, "SELECT * FROM place ORDER BY id")


def contacts(connection: Connection) -> set[tuple[object, ...]]:
    return {*rows(connection, "SELECT party, digest FROM party_contact")}


def do(connection: Connection, number: int, command: tuple) -> None:  # type: ignore[type-arg]
    everybody = [party.id for party in parties.listed(connection)]
    ways = {kind: text for kind, text in command[-1].items() if text} if isinstance(command[-1], dict) else {}
    whom = everybody[command[1] % len(everybody)] if len(command) > 1 and isinstance(command[1], int) else 0
    if command[0] == "add":
        parties.add(connection, f"party {number}", contacts=ways)
    elif command[0] == "reach":
        parties.reach(connection, whom, command[2])
    elif command[0] == "forget":
        parties.forget(connection, whom)
    elif command[0] == "list":
        parties.add(connection, f"party {number}", contacts=ways)
        known = parties.contacts(connection, whom)
        parties.add_contacts(connection, whom, {kind: text for kind, text in ways.items() if kind not in known})
    else:
        places.add(connection, f"place {number}")


@settings(max_examples=60, deadline=None)
@given(COMMANDS)
def test_any_history_of_ways(history: list[tuple]) -> None:  # type: ignore[type-arg]
    with tempfile.TemporaryDirectory() as folder:
        connection = store.create(Path(folder) / "c")
        try:
            catalogs.begin(connection, "A. Example", "", "", "", "", "2026-05-01")
            journal.seal(connection, sealed="0", by="x", command="init")
            play(connection, history)
            assert journal.prove(connection) == [] and list(differences(connection)) == []
            assert rows(connection, "SELECT count(*) FROM undoing") == [(0,)]
            assert rows(connection, "SELECT count(*) FROM sqlite_master WHERE name = 'undoing_newest'") == [(1,)]
            assert rows(connection, "PRAGMA foreign_key_check") == []
        finally:
            connection.close()


def play(connection: Connection, history: list[tuple]) -> None:  # type: ignore[type-arg]
    before: dict[int, tuple[tuple[Rows, Rows], set[tuple[object, ...]], set[object]]] = {}
    for number, command in enumerate(history):
        if command[0] != "undo":
            stood, ways, there = others(connection), contacts(connection), {p.id for p in parties.listed(connection)}
            do(connection, number, command)
            seal = journal.seal(connection, sealed=str(number), by="x", command=command[0])
            if seal:
                new = {p.id for p in parties.listed(connection)} - there
                before[seal.id] = stood, contacts(connection) - ways, {*new}
            continue
        if journal.undoable(connection).target.command == "init":
            continue
        passed, ways = journal.undoable(connection).passed, contacts(connection)
        taken = journal.undo(connection)
        assert journal.seal(connection, sealed=str(number), by="x", command="undo", undoes=taken.id)
        stood, added, new = before[taken.id]
        assert others(connection) == stood
        # Gone are the ways that it added, and with a party that it added all to reach that; what else stands, stays.
        assert contacts(connection) == {way for way in ways if way not in added and way[0] not in new}
        assert {seal.command for seal in passed} <= {"reach", "forget"}
