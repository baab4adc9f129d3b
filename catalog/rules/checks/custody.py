"""Whether place, custodian, owner and state agree with what is recorded to have happened, and follow each other."""

from collections.abc import Iterator
from datetime import timedelta
from itertools import groupby

from catalog.dates import later_than, parse_date
from catalog.records import catalogs, parties
from catalog.records.transfers.chain import BrokenChainError, state_after
from catalog.records.transfers.record import COLUMNS, Transfer
from catalog.rules.checks.findings import Finding, Subject, day
from catalog.store.rows import fetch_all

UNPAID_DAYS = 60
STANDING_WRONG = """SELECT c.code, s.owner IS NOT coalesce_owner AS owner,
    s.custodian IS NOT coalesce_custodian AS custodian,
    s.place IS NOT NULL AND (s.place IS NOT last_place) AS place FROM (SELECT s.*,
      CASE WHEN EXISTS (SELECT 1 FROM transfer WHERE item = s.item AND title = 1)
        THEN (SELECT to_party FROM transfer WHERE item = s.item AND title = 1 ORDER BY rank DESC LIMIT 1)
        ELSE (SELECT artist FROM catalog) END AS coalesce_owner,
      CASE WHEN EXISTS (SELECT 1 FROM transfer WHERE item = s.item AND custody = 1)
        THEN (SELECT to_party FROM transfer WHERE item = s.item AND custody = 1 ORDER BY rank DESC LIMIT 1)
        ELSE (SELECT artist FROM catalog) END AS coalesce_custodian,
      (SELECT to_place FROM movement WHERE item = s.item ORDER BY id DESC LIMIT 1) AS last_place FROM standing s) s
    JOIN code c ON c.id = s.item WHERE s.owner IS NOT coalesce_owner OR s.custodian IS NOT coalesce_custodian
      OR (s.place IS NOT NULL AND s.place IS NOT last_place)
      OR (s.place IS NULL AND last_place IS NOT NULL AND s.custody_transfer IS NULL)"""
WITHOUT_STANDING = "SELECT c.code FROM item i JOIN code c ON c.id = i.id WHERE i.id NOT IN (SELECT item FROM standing)"
STATE_WRONG = """SELECT c.code FROM negative n JOIN code c ON c.id = n.id WHERE n.state IS NOT
    coalesce((SELECT state FROM negative_event WHERE negative = n.id ORDER BY id DESC LIMIT 1), 'in process')
    UNION ALL SELECT c.code FROM print p JOIN code c ON c.id = p.id WHERE p.state IS NOT
    coalesce((SELECT CASE kind WHEN 'destruction' THEN 'destroyed' WHEN 'finding' THEN 'living' ELSE 'lost' END
      FROM transfer WHERE item = p.id AND kind IN ('destruction', 'finding', 'loss', 'theft')
      ORDER BY rank DESC LIMIT 1), 'living')
    UNION ALL SELECT c.code FROM edition e JOIN code c ON c.id = e.id WHERE e.state IS NOT coalesce((SELECT state
      FROM edition_event WHERE edition = e.id ORDER BY id DESC LIMIT 1), nullif(e.state, 'cancelled'))"""
HANDS = f"SELECT {COLUMNS} FROM transfer ORDER BY item, rank"
TRANSFERRED = "SELECT DISTINCT c.id, c.code FROM transfer t JOIN code c ON c.id = t.item"
TITLES = """SELECT c.code, t.item, t.rank, t.from_party, t.to_party, t.happened FROM transfer t
    JOIN code c ON c.id = t.item WHERE t.title = 1 ORDER BY t.item, t.rank"""
UNPAID = """SELECT c.code, s.happened, party.name FROM transfer s JOIN code c ON c.id = s.item
    LEFT JOIN party ON party.id = s.to_party WHERE s.kind = 'sale' AND (s.price > 0 OR s.title = 0)
    AND s.from_party IS (SELECT artist FROM catalog) AND s.latest <> '' AND s.latest < ?
    AND NOT EXISTS (SELECT 1 FROM transfer p WHERE p.settles = s.id)
    ORDER BY s.id"""


def standing_as_recorded(subject: Subject) -> Iterator[Finding]:
    """Whether place, custodian, owner and state agree with movements, transfers and events."""
    for code, owner, custodian, place in subject.connection.execute(STANDING_WRONG).fetchall():
        wrong = [name for name, is_wrong in (("owner", owner), ("custodian", custodian), ("place", place)) if is_wrong]
        disagree = "disagree" if len(wrong) > 1 else "disagrees"
        yield Finding(
            "error",
            code,
            f"The {' and '.join(wrong) or 'place'} noted for {code} {disagree} with its movements and transfers.",
        )
    for (code,) in subject.connection.execute(WITHOUT_STANDING).fetchall():
        yield Finding("error", code, f"Nothing is noted of who owns and has {code}.")
    for (code,) in subject.connection.execute(STATE_WRONG).fetchall():
        yield Finding("error", code, f"The state noted for {code} disagrees with what is recorded to have happened.")


def hands_in_order(subject: Subject) -> Iterator[Finding]:
    """Whether each change of hands gives what its giver had then, and none is dated before those it follows."""
    artist = catalogs.artist(subject.connection).id
    codes = dict(subject.connection.execute(TRANSFERRED).fetchall())
    for item, chain in groupby(fetch_all(subject.connection, Transfer, HANDS), key=lambda one: one.item):
        hands = list(chain)
        try:
            state_after(hands, artist)
        except BrokenChainError as broken:
            party = parties.read(subject.connection, broken.party).name if broken.party else "nobody"
            yield Finding(
                "error",
                codes[item],
                f"{codes[item]}: the {broken.culprit.kind} of {day(broken.culprit.happened)} cannot have happened so: "
                f"{broken.reason.format(party=party)}. See: tirage history {codes[item]}.",
            )
        for earlier, later in zip(hands, hands[1:], strict=False):
            if later_than(earlier.moment, later.moment):
                yield Finding(
                    "warning",
                    codes[item],
                    f"{codes[item]}: the {later.kind} of {day(later.happened)} is dated before the {earlier.kind} of "
                    f"{day(earlier.happened)}, which it follows. See: tirage history {codes[item]}.",
                )


def gaps_between_owners(subject: Subject) -> Iterator[Finding]:
    """Owners in the past that do not follow each other: printed as a gap, and worth knowing."""
    artist = catalogs.artist(subject.connection).id
    owner, item = artist, None
    for row in subject.connection.execute(TITLES).fetchall():
        if row["item"] != item:
            owner, item = artist, row["item"]
        if row["from_party"] != owner:
            yield Finding(
                "note",
                row["code"],
                f"Between its owners {row['code']} has a gap ({parse_date(row['happened']).text()}); a provenance "
                f"prints it as one.",
            )
        owner = row["to_party"]


def sales_unpaid(subject: Subject) -> Iterator[Finding]:
    """Sales that wait for their payment for long."""
    if subject.today.year < 2:
        return
    since = (subject.today - timedelta(days=UNPAID_DAYS)).date().isoformat()
    for code, happened, buyer in subject.connection.execute(UNPAID, (since,)).fetchall():
        yield Finding(
            "note",
            code,
            f"{code} was sold to {buyer or 'nobody named'} ({day(happened)}) and is not paid after "
            f"more than {UNPAID_DAYS} days: tirage paid {code}.",
        )
