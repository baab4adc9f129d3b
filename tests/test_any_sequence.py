"""Any sequence of operations keeps the promises: numbers, counts, title, custody, and the chain of seals."""

import datetime
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from catalog.dates import moment, parse_date
from catalog.documents import certificate as document
from catalog.documents.presentation import Presentation, presentation
from catalog.errors import TirageError
from catalog.events import Event
from catalog.money import Money
from catalog.records import (
    catalogs,
    certificates,
    corrections,
    deaths,
    designations,
    edition_endings,
    editions,
    items,
    negatives,
    parties,
    places,
    prints,
    private_keys,
    promises,
    transfers,
)
from catalog.records import settings as meanings
from catalog.rules.checks import CHECKS, Subject
from catalog.rules.checks.tampering import schema_as_shipped
from catalog.store import connection as store
from catalog.store import journal
from catalog.vocabulary import EDITION_FATES
from tests.soaks import rounds

NOW = datetime.datetime(2026, 5, 1, 12, 0, tzinfo=datetime.UTC)
SIZE, PROOFS = 4, {"AP": 1, "CP": 1}
ANY = st.sampled_from([1, 1, 1, 2, 2, 3, 3, 4, 5, 6, 7])
AGO = st.sampled_from([0, 0, 0, 0, 1, 2, 5])  # days: told on the day, or later
STATES = ["ready", "retired", "cancelled", "broken", "destroyed", "deposited"]
PRINTS = """SELECT code.id, code.code, code.kind FROM print JOIN code USING (id) JOIN standing ON item = print.id
    WHERE {} ORDER BY print.id"""
OUT = "custodian IS NOT (SELECT artist FROM catalog) AND owner = (SELECT artist FROM catalog) AND state = 'living'"
OWNED = "owner IS NOT (SELECT artist FROM catalog)"
UNPAID = """EXISTS (SELECT 1 FROM transfer s WHERE s.item = print.id AND s.kind = 'sale'
    AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id))"""
UNSIGNED, SIGNED = "signed = '' AND state = 'living'", "signed <> '' AND state = 'living'"
# Each promise of what must never go wrong as a query that returns no row.
BROKEN = {
    "a number held by two prints": """SELECT 1 FROM print p WHERE number IS NOT NULL AND NOT EXISTS
        (SELECT 1 FROM print r WHERE r.replaces = p.id) GROUP BY edition, kind, number HAVING count(*) > 1""",
    "two living prints of one number": """SELECT 1 FROM print WHERE number IS NOT NULL AND state <> 'destroyed'
        GROUP BY edition, kind, number HAVING count(*) > 1""",
    "more numbers than declared": f"SELECT 1 FROM print WHERE kind = 'numbered' AND number > {SIZE}",
    "a number above an early close": """SELECT 1 FROM print p JOIN edition e ON e.id = p.edition
        WHERE p.kind = 'numbered' AND p.number > e.closed_at""",
    "more proofs than declared": "SELECT 1 FROM print WHERE kind IN ('AP', 'CP') AND number > 1",
    "another declared size": f"SELECT 1 FROM edition WHERE size IS NOT {SIZE}",
    "a void number that is borne": """SELECT 1 FROM edition_number n JOIN print p ON p.edition = n.edition
        AND p.kind = n.kind AND p.number = n.number WHERE n.standing <> 'given'""",
    "a number given to nobody": """SELECT 1 FROM edition_number n WHERE standing = 'given' AND NOT EXISTS
        (SELECT 1 FROM print p WHERE p.edition = n.edition AND p.kind = n.kind AND p.number = n.number)""",
    "a promise of a number that is not held": """SELECT 1 FROM promise p JOIN edition_number n ON n.edition = p.edition
        AND n.kind = p.kind AND n.number = p.number WHERE p.ended = '' AND n.standing NOT IN ('reserved', 'given')""",
    "a destroyed print with an owner or a place": """SELECT 1 FROM print JOIN standing ON item = print.id
        WHERE state = 'destroyed' AND (owner IS NOT NULL OR custodian IS NOT NULL OR place IS NOT NULL)""",
    "a place of what the studio does not have": """SELECT 1 FROM standing
        WHERE place IS NOT NULL AND custodian IS NOT (SELECT artist FROM catalog)""",
    "a replacement of what still lives": """SELECT 1 FROM print a JOIN print b ON b.replaces = a.id
        WHERE a.state <> 'destroyed' OR a.number <> b.number""",
    "two sales of the studio's that wait to be paid for one print": """SELECT 1 FROM transfer s WHERE s.kind = 'sale'
        AND s.title = 0 AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)
        GROUP BY s.item HAVING count(*) > 1""",
    "a sale paid twice": "SELECT 1 FROM transfer WHERE settles IS NOT NULL GROUP BY settles HAVING count(*) > 1",
    "title passed by a sale not yet paid": """SELECT 1 FROM transfer s JOIN standing d ON s.item = d.item
        WHERE s.kind = 'sale' AND s.title = 0 AND d.title_transfer = s.id""",
    "anything after a destruction": """SELECT 1 FROM transfer d JOIN transfer t ON t.item = d.item AND t.rank > d.rank
        WHERE d.kind = 'destruction' AND (t.kind <> 'payment' OR t.title = 1)""",
    "a print made of what was gone": """SELECT 1 FROM print p JOIN negative_event e ON e.negative = p.negative
        AND e.state IN ('cancelled', 'broken', 'destroyed') WHERE p.kind IS NOT 'CP' AND p.earliest > e.latest""",
    "a print of a cancelled edition signed after it": """SELECT 1 FROM print p JOIN edition e ON e.id = p.edition
        JOIN edition_event v ON v.edition = e.id AND v.state = 'cancelled'
        WHERE p.number IS NOT NULL AND p.kind <> 'CP' AND p.replaces IS NULL AND p.signed_earliest > v.latest""",
    "a number given after the death to what was never signed": """SELECT 1 FROM journal j, party
        JOIN catalog ON catalog.artist = party.id WHERE j.tbl = 'print' AND died_latest <> ''
        AND j.id > (SELECT max(id) FROM journal WHERE tbl = 'party' AND json_extract(after, '$.died_latest') <> '')
        AND json_extract(j.after, '$.number') IS NOT json_extract(j.before, '$.number')
        AND json_extract(j.after, '$.number') IS NOT NULL AND json_extract(j.after, '$.kind') <> 'CP'
        AND json_extract(j.after, '$.signed') = '' AND NOT EXISTS (SELECT 1 FROM journal_seal s
            WHERE s.undoes IS NOT NULL AND j.id BETWEEN s.first AND s.last)""",
    "an end of an edition that is not its last event": """SELECT 1 FROM edition e WHERE e.state IS NOT coalesce(
        (SELECT state FROM edition_event WHERE edition = e.id ORDER BY id DESC LIMIT 1), 'declared')""",
    "the size of a print that has a certificate or was sold, changed": """SELECT 1 FROM correction c
        WHERE c.field IN ('image', 'sheet') AND EXISTS (SELECT 1 FROM
            (SELECT 'transfer' AS tbl, id, item FROM transfer
                UNION ALL SELECT 'certificate', id, print FROM certificate) t
            WHERE t.item = c.subject AND (SELECT max(id) FROM journal WHERE tbl = t.tbl AND key = json_array(t.id)
                AND before IS NULL) < (SELECT max(id) FROM journal WHERE tbl = 'correction'
                AND key = json_array(c.id) AND before IS NULL))""",
    "signed after the artist's death": """SELECT 1 FROM print, party JOIN catalog ON catalog.artist = party.id
        WHERE died_latest <> '' AND signed_earliest > died_latest""",
    "certified by the artist after the artist's death": """SELECT 1 FROM certificate c
        JOIN artist_key k ON k.id = c.key, party JOIN catalog ON catalog.artist = party.id
        WHERE k.holder = 'artist' AND died_latest <> '' AND c.earliest > died_latest""",
    "two certificates that stand for one print": """SELECT 1 FROM certificate c WHERE NOT EXISTS
        (SELECT 1 FROM certificate_event e WHERE e.certificate = c.id) GROUP BY print HAVING count(*) > 1""",
    "a certificate altered": "SELECT 1 FROM journal WHERE tbl = 'certificate' AND before IS NOT NULL",
    "a row gone without an undo": """SELECT 1 FROM journal j WHERE j.after IS NULL AND NOT EXISTS
        (SELECT 1 FROM journal_seal s WHERE j.id BETWEEN s.first AND s.last AND s.undoes IS NOT NULL)""",
    "a guard left open": "SELECT 1 FROM undoing",
    "a broken reference": "PRAGMA foreign_key_check",
}


class Studio(RuleBasedStateMachine):
    """A studio where things happen in any order, many of them refused."""

    @initialize()
    def begin(self) -> None:
        self.folder = tempfile.TemporaryDirectory()
        self.at = Path(self.folder.name) / "c"
        self.connection = store.create(self.at)
        catalogs.begin(self.connection, "A. Example", "", "", "", "", "2026-05-01")
        meanings.begin(self.connection, "2026-05-01")
        private_keys.begin(self.connection, self.at, "2026-05-01")
        event = Event(moment(None, None, NOW), "test")
        self.plate = negatives.add(self.connection, event, "Low water")
        self.edition = editions.declare(self.connection, event, self.plate.id, "Low water", SIZE, PROOFS)
        self.gallery = parties.add(self.connection, "Gallery", "gallery").id
        self.buyers = [parties.add(self.connection, name).id for name in ("Buyer", "Museum")]
        self.shelf, _ = places.add(self.connection, "studio/shelf")
        for made in prints.make(self.connection, event, self.edition, 4)[:2]:
            designations.sign(self.connection, event, made)
        journal.seal(self.connection, sealed="2026-01-01T09:00:00+00:00", by="test", command="init")
        self.connection.execute("COMMIT")
        self.connection.execute("PRAGMA synchronous = OFF")
        self.look: Presentation = presentation(self.at)
        self.keys = private_keys.KeyRing(self.at)
        self.commands = 0

    def teardown(self) -> None:
        if hasattr(self, "connection"):
            try:
                found = errors(self.connection, self.at)
                assert found == [], found
            finally:
                self.connection.close()
                self.folder.cleanup()

    def attempt(self, work: Callable[[Event], object], ago: int = 0) -> None:
        """One command, a day after the one before: all of it sealed and committed, or nothing changed."""
        self.commands += 1
        now = NOW + datetime.timedelta(days=self.commands)
        day = (now - datetime.timedelta(days=ago)).date().isoformat()
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            work(Event(moment(day if ago else None, None, now), "test", "because"))
            journal.seal(self.connection, sealed="2026-01-01T10:00:00+00:00", by="test", command="test")
            self.connection.execute("COMMIT")
        except TirageError:
            self.connection.execute("ROLLBACK")

    def thing(self, number: int, apt: str = "1") -> items.Coded:
        """One of the prints that there are, the first ones most often; where some are apt for it, one of these."""
        for condition in (apt, "1"):
            rows = self.connection.execute(PRINTS.format(condition)).fetchall()
            if rows:
                return items.Coded(*rows[(number - 1) % len(rows)])
        raise AssertionError("the studio begins with prints")

    def declared(self) -> editions.Edition:
        return editions.read(self.connection, self.edition.id)

    @rule(count=st.integers(1, 2), ago=AGO)
    def make(self, count: int, ago: int) -> None:
        self.attempt(lambda e: prints.make(self.connection, e, self.edition, count), ago)

    @rule(cancellation=st.booleans())
    def make_another(self, cancellation: bool) -> None:
        """A work print, or the proof that a negative is cancelled."""
        of = self.edition if cancellation else self.plate
        self.attempt(lambda e: prints.make(self.connection, e, of, 1, cancellation=cancellation))

    @rule(
        number=ANY, kind=st.sampled_from(["numbered", "numbered", "AP"]), asked=st.none() | st.integers(1, 6), ago=AGO
    )
    def sign(self, number: int, kind: str, asked: int | None, ago: int) -> None:
        self.attempt(
            lambda e: designations.sign(
                self.connection, e, self.thing(number, UNSIGNED), edition=self.edition, kind=kind, number=asked
            ),
            ago,
        )

    @rule(number=ANY, given=st.sampled_from(["1", "2", "3", "4", "5", "AP 1"]), proof=st.booleans())
    def correct_designation(self, number: int, given: str, proof: bool) -> None:
        """Another number: of any print, or of the proof that the plate was cancelled."""
        apt = "print.kind = 'CP'" if proof else "number IS NOT NULL"
        self.attempt(
            lambda e: corrections.correct(self.connection, e, self.thing(number, apt), "designation", given, "slip")
        )

    @rule(number=ANY, field=st.sampled_from(["image", "sheet"]), text=st.sampled_from(["20x25cm", "30x40cm", ""]))
    def correct_size(self, number: int, field: str, text: str) -> None:
        self.attempt(lambda e: corrections.correct(self.connection, e, self.thing(number), field, text, "slip"))

    @rule(number=ANY, ahead=st.integers(-3, 3))
    def correct_made(self, number: int, ahead: int) -> None:
        day = (NOW + datetime.timedelta(days=self.commands + ahead)).date().isoformat()
        self.attempt(lambda e: corrections.correct(self.connection, e, self.thing(number), "made", day, "slip"))

    @rule(number=st.integers(1, 5), withdraw=st.booleans())
    def promise(self, number: int, withdraw: bool) -> None:
        def work(e: Event) -> None:
            if withdraw:
                promises.withdraw(self.connection, self.declared(), "numbered", number)
            else:
                promises.reserve(self.connection, e, self.declared(), "numbered", number, self.buyers[0], ("", ""))

        self.attempt(work)

    @rule(to=st.integers(0, 1))
    def promise_sign_sell(self, to: int) -> None:
        """A number is promised, its print signed, and then sold: to the one it was promised to, or to another."""

        def work(e: Event) -> None:
            number = editions.next_number(self.connection, self.declared())
            promises.reserve(self.connection, e, self.declared(), "numbered", number, self.buyers[0], ("", ""))
            thing = self.thing(1, UNSIGNED)
            designations.sign(self.connection, e, thing, edition=self.edition, number=number)
            transfers.sell(self.connection, e, thing, self.buyers[to], Money(1, "EUR"))

        self.attempt(work)

    @rule(number=ANY, to=st.integers(0, 1), ago=AGO)
    def sell(self, number: int, to: int, ago: int) -> None:
        self.attempt(
            lambda e: transfers.sell(self.connection, e, self.thing(number), self.buyers[to], Money(1, "EUR")), ago
        )

    @rule(number=ANY, by=st.sampled_from([0, 1, 2]), to=st.integers(0, 1), ago=AGO)
    def sell_on(self, number: int, by: int, to: int, ago: int) -> None:
        """A later sale, by an owner who is known or by nobody knows whom."""
        giver = transfers.Giver.UNKNOWN if by == 2 else self.buyers[by]
        self.attempt(
            lambda e: transfers.sell(self.connection, e, self.thing(number, OWNED), self.buyers[to], None, giver=giver),
            ago,
        )

    @rule(number=ANY, kind=st.sampled_from(["gift", "bequest", "exchange"]), to=st.integers(0, 1), ago=AGO)
    def give(self, number: int, kind: str, to: int, ago: int) -> None:
        self.attempt(lambda e: transfers.give(self.connection, e, self.thing(number), self.buyers[to], kind), ago)

    @rule(number=ANY, ago=AGO)
    def pay(self, number: int, ago: int) -> None:
        self.attempt(lambda e: transfers.pay(self.connection, e, self.thing(number, UNPAID)), ago)

    @rule(
        number=ANY,
        kind=st.sampled_from(["consignment", "consignment", "approval", "loan", "exhibition"]),
        on=st.booleans(),
        back=st.booleans(),
        ago=AGO,
    )
    def hand_out(self, number: int, kind: str, on: bool, back: bool, ago: int) -> None:
        """Consign or lend, or tell that the gallery moved it on; told later, it may have come back in between."""

        def work(e: Event) -> None:
            returned = Event(moment(None, None, NOW + datetime.timedelta(days=self.commands)), "test")
            transfers.hand_out(
                self.connection,
                e,
                self.thing(number, f"custodian = {self.gallery}" if on else SIGNED),
                kind,
                self.buyers[1] if on else self.gallery,
                giver=self.gallery if on else transfers.Giver.STUDIO,
                returned=returned if back else None,
            )

        self.attempt(work, ago)

    @rule(number=ANY, ago=AGO)
    def give_back(self, number: int, ago: int) -> None:
        self.attempt(lambda e: transfers.give_back(self.connection, e, self.thing(number, OUT)), ago)

    @precondition(lambda self: self.commands > 6)
    @rule(number=ANY, stolen=st.booleans(), ago=AGO)
    def lose(self, number: int, stolen: bool, ago: int) -> None:
        self.attempt(lambda e: transfers.lose(self.connection, e, self.thing(number), stolen=stolen), ago)

    @rule(number=ANY, ago=AGO)
    def find_again(self, number: int, ago: int) -> None:
        self.attempt(lambda e: transfers.find_again(self.connection, e, self.thing(number, "state = 'lost'")), ago)

    @rule(number=ANY, ago=AGO)
    def keep(self, number: int, ago: int) -> None:
        self.attempt(lambda e: transfers.keep(self.connection, e, self.thing(number)), ago)

    @rule(number=ANY)
    def move(self, number: int) -> None:
        self.attempt(lambda e: places.move(self.connection, e, [self.thing(number)], self.shelf))

    @precondition(lambda self: self.commands > 6)
    @rule(number=ANY, ago=AGO)
    def destroy(self, number: int, ago: int) -> None:
        self.attempt(lambda e: transfers.destroy(self.connection, e, self.thing(number)), ago)

    @rule(old=ANY, new=ANY)
    def replace(self, old: int, new: int) -> None:
        self.attempt(
            lambda e: designations.replace(
                self.connection, e, self.thing(old, "state = 'destroyed'"), self.thing(new, UNSIGNED)
            )
        )

    @rule(old=ANY)
    def spoil_and_replace(self, old: int) -> None:
        """What a studio does with a damaged print: destroy it, print another, give it the number."""

        def work(e: Event) -> None:
            damaged = self.thing(old, SIGNED)
            transfers.destroy(self.connection, e, damaged)
            new = prints.make(self.connection, e, self.edition, 1)[0]
            designations.replace(self.connection, e, damaged, new)

        self.attempt(work)

    @rule(number=ANY, again=st.booleans(), ago=AGO)
    def certify(self, number: int, again: bool, ago: int) -> None:
        def work(e: Event) -> None:
            thing = self.thing(number, SIGNED)
            before = [one.id for one in certificates.of_print(self.connection, thing.id) if one.standing == "valid"]
            earlier = before[0] if before and again else None
            document.issue(self.connection, e, thing.id, self.keys, self.look, earlier)

        self.attempt(work, ago)

    @rule(number=ANY)
    def revoke(self, number: int) -> None:
        def work(e: Event) -> None:
            for one in certificates.of_print(self.connection, self.thing(number).id):
                certificates.revoke(self.connection, e, one.id, "slip")

        self.attempt(work)

    @precondition(lambda self: self.commands > 12)
    @rule(at=st.none() | st.integers(1, SIZE), ago=AGO)
    def close(self, at: int | None, ago: int) -> None:
        self.attempt(lambda e: edition_endings.close(self.connection, e, self.declared(), at), ago)

    @precondition(lambda self: self.commands > 20)
    @rule(fate=st.sampled_from(list(EDITION_FATES)))
    def cancel(self, fate: str) -> None:
        self.attempt(lambda e: edition_endings.cancel(self.connection, e, self.declared(), self.plate, fate))

    @precondition(lambda self: self.commands > 12)
    @rule(state=st.sampled_from(STATES))
    def plate_state(self, state: str) -> None:
        """On the day: a plate said to have broken before prints that were made of it is a finding, not a refusal."""
        self.attempt(lambda e: negatives.enter_state(self.connection, e, self.plate, state))

    @precondition(lambda self: self.commands > 25)
    @rule(ago=st.sampled_from([0, 0, 1, 3, 10, 30]))
    def die(self, ago: int) -> None:
        """The artist dies, or is said to have died before; what is told later of the days before stays possible."""

        def work(e: Event) -> None:
            artist = parties.read(self.connection, catalogs.artist(self.connection).id)
            deaths.record(self.connection, e, artist, parse_date(e.moment.date))

        self.attempt(work, ago)

    @precondition(lambda self: self.commands > 12)
    @rule()
    def cancel_by_proof(self) -> None:
        """The plate is cancelled and its proof printed; on a later day somebody would call the proof a number."""

        def work(e: Event) -> None:
            negatives.enter_state(self.connection, e, self.plate, "cancelled")
            prints.make(self.connection, e, self.edition, 1, cancellation=True)

        self.attempt(work)

    @rule()
    def undo(self) -> None:
        self.connection.execute("BEGIN IMMEDIATE")
        try:
            taken = journal.undo(self.connection)
            if taken.command == "init":
                raise journal.NothingToUndoError("it began the catalog")
            journal.seal(
                self.connection, sealed="2026-01-01T10:00:00+00:00", by="test", command="undo", undoes=taken.id
            )
            self.connection.execute("COMMIT")
        except TirageError:
            self.connection.execute("ROLLBACK")

    @invariant()
    def promises_are_kept(self) -> None:
        if hasattr(self, "connection"):
            for name, query in BROKEN.items():
                assert self.connection.execute(query).fetchone() is None, name
            assert journal.unsealed_rows(self.connection) == 0


def errors(connection: store.sqlite3.Connection, folder: Path) -> list[str]:
    """What the checks call an error, the shipped schema left out: nothing here changes it."""
    subject = Subject(connection, folder, NOW)
    looks = [look for look in CHECKS if look is not schema_as_shipped]
    return [found.sentence for look in looks for found in look(subject) if found.severity == "error"]


def play(examples: int, steps: int) -> None:
    """Play the studio so many times, so many steps each."""
    run_state_machine_as_test(
        Studio,
        settings=settings(
            max_examples=examples, stateful_step_count=steps, deadline=None, suppress_health_check=list(HealthCheck)
        ),
    )


def test_any_sequence() -> None:
    play(20, 40)


@pytest.mark.soak
def test_any_sequence_for_long() -> None:
    play(rounds(300, 20), 80)
