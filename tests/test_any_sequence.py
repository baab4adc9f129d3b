"""Any sequence of operations keeps the promises: numbers, counts, title, custody, and the chain of seals."""

import datetime
import tempfile
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from catalog.dates import moment
from catalog.errors import TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.records import catalogs, designations, editions, items, negatives, parties, prints, transfers
from catalog.records import settings as meanings
from catalog.store import connection as store
from catalog.store import journal

NOW = datetime.datetime(2026, 5, 1, 12, 0, tzinfo=datetime.UTC)
SIZE, PROOFS = 4, {"AP": 1}
ANY = st.integers(min_value=1, max_value=12)
# Each invariant as a query that must return no row.
BROKEN = {
    "a number held by two prints": """SELECT 1 FROM print p WHERE number IS NOT NULL AND NOT EXISTS
        (SELECT 1 FROM print r WHERE r.replaces = p.id) GROUP BY edition, kind, number HAVING count(*) > 1""",
    "more numbers than declared": f"SELECT 1 FROM print WHERE kind = 'numbered' AND number > {SIZE}",
    "more proofs than declared": "SELECT 1 FROM print WHERE kind = 'AP' AND number > 1",
    "a destroyed print with an owner": """SELECT 1 FROM print JOIN standing ON item = print.id
        WHERE state = 'destroyed' AND (owner IS NOT NULL OR place IS NOT NULL)""",
    "a replacement of what still lives": """SELECT 1 FROM print a JOIN print b ON b.replaces = a.id
        WHERE a.state <> 'destroyed' OR a.number <> b.number""",
    "a second sale of one owner": """SELECT 1 FROM transfer WHERE kind = 'sale' GROUP BY item HAVING count(*) > 1""",
    "a number given to nobody": """SELECT 1 FROM edition_number n WHERE standing = 'given' AND NOT EXISTS
        (SELECT 1 FROM print p WHERE p.edition = n.edition AND p.kind = n.kind AND p.number = n.number)""",
}


class Studio(RuleBasedStateMachine):
    """A studio where things happen in any order, many of them refused."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.connection = store.create(Path(self.folder.name) / "c")
        catalogs.begin(self.connection, "A. Example", "", "", "", "", "2026-05-01")
        meanings.begin(self.connection, "2026-05-01")
        event = Event(moment(None, None, NOW), "test")
        plate = negatives.add(self.connection, event, "Low water")
        self.edition = editions.declare(self.connection, event, plate.id, "Low water", SIZE, PROOFS)
        self.plate = plate
        self.gallery = parties.add(self.connection, "Gallery", "gallery")
        self.buyer = parties.add(self.connection, "Buyer")
        journal.seal(self.connection, sealed="begin", by="test", command="init")
        self.connection.execute("COMMIT")
        self.connection.execute("PRAGMA synchronous = OFF")
        self.commands = 0

    def teardown(self) -> None:
        if hasattr(self, "connection"):
            self.connection.close()
            self.folder.cleanup()

    def attempt(self, work: object) -> None:
        """One command: all of it sealed and committed, or nothing changed."""
        self.commands += 1
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            work(Event(moment(None, None, NOW + datetime.timedelta(minutes=self.commands)), "test"))  # type: ignore[operator]
            journal.seal(self.connection, sealed=str(self.commands), by="test", command="test")
            self.connection.execute("COMMIT")
        except TirageError:
            self.connection.execute("ROLLBACK")

    def thing(self, number: int) -> items.Coded:
        return items.find_one(self.connection, str(number), "print")

    @rule(count=st.integers(1, 3))
    def make(self, count: int) -> None:
        self.attempt(lambda e: prints.make(self.connection, e, self.edition, count))

    @rule()
    def make_work_print(self) -> None:
        self.attempt(lambda e: prints.make(self.connection, e, self.plate, 1))

    @rule(number=ANY, kind=st.sampled_from(["numbered", "AP"]), asked=st.none() | st.integers(1, 6))
    def sign(self, number: int, kind: str, asked: int | None) -> None:
        self.attempt(
            lambda e: designations.sign(
                self.connection, e, self.thing(number), edition=self.edition, kind=kind, number=asked
            )
        )

    @rule(number=st.integers(1, 6))
    def promise(self, number: int) -> None:
        self.attempt(
            lambda e: editions.reserve(
                self.connection,
                e,
                editions.read(self.connection, self.edition.id),
                "numbered",
                number,
                self.buyer.id,
                ("", ""),
            )
        )

    @rule(number=ANY)
    def sell(self, number: int) -> None:
        self.attempt(lambda e: transfers.sell(self.connection, e, self.thing(number), self.buyer.id, Money(1, "EUR")))

    @rule(number=ANY)
    def pay(self, number: int) -> None:
        self.attempt(lambda e: transfers.pay(self.connection, e, self.thing(number)))

    @rule(number=ANY)
    def consign(self, number: int) -> None:
        self.attempt(
            lambda e: transfers.hand_out(self.connection, e, self.thing(number), "consignment", self.gallery.id)
        )

    @rule(number=ANY)
    def give_back(self, number: int) -> None:
        self.attempt(lambda e: transfers.give_back(self.connection, e, self.thing(number)))

    @rule(number=ANY)
    def destroy(self, number: int) -> None:
        self.attempt(lambda e: transfers.destroy(self.connection, e, self.thing(number)))

    @rule(old=ANY, new=ANY)
    def replace(self, old: int, new: int) -> None:
        self.attempt(lambda e: designations.replace(self.connection, e, self.thing(old), self.thing(new)))

    @rule()
    def close(self) -> None:
        self.attempt(lambda e: editions.close(self.connection, editions.read(self.connection, self.edition.id), None))

    @rule()
    def undo(self) -> None:
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            taken = journal.undo(self.connection)
            if taken.command == "init":
                raise journal.NothingToUndoError("it began the catalog")
            journal.seal(self.connection, sealed="undo", by="test", command="undo", undoes=taken.id)
            self.connection.execute("COMMIT")
        except TirageError:
            self.connection.execute("ROLLBACK")

    @invariant()
    def promises_are_kept(self) -> None:
        if hasattr(self, "connection"):
            for name, query in BROKEN.items():
                assert self.connection.execute(query).fetchone() is None, name
            assert self.connection.execute("PRAGMA foreign_key_check").fetchone() is None
            assert journal.unsealed_rows(self.connection) == 0


def run(examples: int, steps: int) -> None:
    """Play the studio so many times, so many steps each."""
    from hypothesis.stateful import run_state_machine_as_test

    run_state_machine_as_test(
        Studio,
        settings=settings(
            max_examples=examples, stateful_step_count=steps, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )


def test_any_sequence() -> None:
    run(25, 30)


@pytest.mark.soak
def test_any_sequence_for_long() -> None:
    run(150, 60)
