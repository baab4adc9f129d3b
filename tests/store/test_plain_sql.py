"""What plain SQL, its checks of keys off, cannot make of a register, of a chain of transfers, or of a life.

Each form with the words of its refusal; the rules themselves are common practice of the trade, no source, unless
tests/records/test_register.py names one.
"""

import shutil
from pathlib import Path

import pytest

from catalog.cli.main import run

from .conftest import dump, plain, tirage
from .test_guards import refused

LINES = (
    "negative add Pond --made 2026-01-02 --size 8x10in --state ready --on 2026-01-02",
    "negative add Weir --made 2026-01-02 --size 8x10in --state ready --on 2026-01-02",
    "negative add Quay --made 2026-01-02 --size 8x10in --state ready --on 2026-01-02",
    "party add Buyer",
    "party add Other",
    "party add Gallery --kind gallery",
    "edition declare n1 5 --ap 1 --image 20x25cm --process 'salted paper' --toning gold --on 2026-02-01",
    "edition declare n1 3 --image 20x25cm --process salted-paper --disclose 'not toned' --on 2026-02-02",
    "edition declare n2 2 --cp 1 --on 2026-02-01",
    "edition declare n3 open --on 2026-02-01",
    "print make e1 8 --on 2026-03-01",  # 1 to 8
    "print make e4 1 --on 2026-03-01",  # 9
    "sign 1-5 --on 2026-03-02 --anyway x",
    "promise e1:ap1 --to Buyer --on 2026-03-02",
    "certificate issue 1 --on 2026-03-03 --anyway x",
    "consign 2 Gallery --on 2026-03-04 --anyway x",
    "sell 3 Buyer 900EUR --on 2026-03-05 --anyway x",
    "consign 4 Gallery --on 2026-03-04 --anyway x",
    "sell 4 Buyer 900EUR --on 2026-03-06 --anyway x",
    "negative state n2 cancelled --on 2026-03-07",
    "print make e3 1 --cancellation --on 2026-03-08",  # 10
    "edition cancel e4 --negative kept --why over --on 2026-03-08",
)
PRINT, EDITION = "(SELECT id FROM code WHERE code = 'P-0000{:02}')", "(SELECT id FROM code WHERE code = 'E-000{}')"
ARTIST = "(SELECT artist FROM catalog)"
BUYER, OTHER, GALLERY = (f"(SELECT id FROM party WHERE name = '{name}')" for name in ("Buyer", "Other", "Gallery"))
DIED = f"UPDATE party SET died = '2026-04-01', died_latest = '2026-04-01' WHERE id = {ARTIST}"


def transfer(
    number: int,
    kind: str,
    giver: str,
    taker: str,
    title: int,
    custody: int,
    settles: str = "NULL",
    day: str = "2026-04-01",
    inserted: str = "NULL",
) -> str:
    """A change of hands of one print, at the end of its chain unless `inserted`."""
    item = PRINT.format(number)
    return f"""INSERT INTO transfer (item, sequence, kind, from_party, to_party, title, custody, settles, inserted,
        happened, earliest, latest, by) SELECT {item}, 1 + (SELECT count(*) FROM transfer WHERE item = {item}),
        '{kind}', {giver}, {taker}, {title}, {custody}, {settles}, {inserted}, '{day}', '{day}', '{day}', 'x'"""


def sale(number: int) -> str:
    return f"(SELECT id FROM transfer WHERE kind = 'sale' AND item = {PRINT.format(number)})"


def event(edition: int, state: str, more: str = "closed_at", value: str = "NULL", day: str = "2026-04-01") -> str:
    return f"""INSERT INTO edition_event (edition, state, {more}, happened, earliest, latest, by)
        VALUES ({EDITION.format(edition)}, '{state}', {value}, '{day}', '{day}', '{day}', 'x')"""


def another(
    kind: str = "NULL", number: str = "NULL", negative: int = 1, edition: int = 1, day: str = "2026-04-02",
    signed: str = "", signed_earliest: str = "",
) -> tuple[str, ...]:  # fmt: skip
    """A new print with its code, the last statement the one that is refused."""
    return (
        "INSERT INTO code (code, kind, serial) VALUES ('P-000099', 'print', 99)",
        "INSERT INTO item SELECT id, 'print' FROM code WHERE code = 'P-000099'",
        f"""INSERT INTO print (id, negative, edition, made, earliest, latest, kind, number, signed, signed_earliest)
        SELECT id, (SELECT id FROM code WHERE code = 'N-000{negative}'), {EDITION.format(edition)}, '{day}', '{day}',
        '{day}', {kind}, {number}, '{signed}', '{signed_earliest}' FROM code WHERE code = 'P-000099'""",
    )


def second(toning: str, disclosure: str, height: int = 200_000, process: str = "Salted-Paper") -> tuple[str, ...]:
    return (
        "INSERT INTO code (code, kind, serial) VALUES ('E-0099', 'edition', 99)",
        f"""INSERT INTO edition (id, negative, title, size, image_height, image_width, process, toning, disclosure,
        declared, earliest, latest) SELECT id, (SELECT id FROM code WHERE code = 'N-0001'), 'Pond', 3, {height}, 250000,
        '{process}', '{toning}', '{disclosure}', '2026-04-01', '2026-04-01', '2026-04-01' FROM code
        WHERE code = 'E-0099'""",
    )


CORRECTION = f"""INSERT INTO correction (subject, field, why, by, happened)
    VALUES ({PRINT.format(3)}, 'price of the sale', 'slip', 'x', '2026-04-01')"""
MOVES, TOLD = "moves title and custody otherwise", "settles something else"
# what is tried -> statements of which the last is refused, words of the refusal
FORMS: dict[str, tuple[tuple[str, ...] | str, str]] = {
    # transfers: which of title and custody each kind moves, from whom to whom
    "a sale to nobody": (transfer(1, "sale", ARTIST, "NULL", 1, 1), MOVES),
    "a sale that leaves the print here": (transfer(1, "sale", ARTIST, BUYER, 1, 0), MOVES),
    "a gift without title": (transfer(1, "gift", ARTIST, BUYER, 0, 1), MOVES),
    "a bequest to nobody": (transfer(1, "bequest", ARTIST, "NULL", 1, 1), MOVES),
    "a consignment that stays": (transfer(1, "consignment", ARTIST, GALLERY, 0, 0), MOVES),
    "a loan with title": (transfer(1, "loan", ARTIST, GALLERY, 1, 1), MOVES),
    "a return to nobody": (transfer(2, "return", GALLERY, "NULL", 0, 1), MOVES),
    "a loss that stays": (transfer(1, "loss", ARTIST, "NULL", 0, 0), MOVES),
    "a theft to somebody": (transfer(1, "theft", ARTIST, BUYER, 0, 1), MOVES),
    "a loss by who does not have it": (transfer(1, "loss", BUYER, "NULL", 0, 1), "only who has a thing"),
    "a destruction to somebody": (transfer(1, "destruction", ARTIST, BUYER, 1, 1), MOVES),
    "a destruction without title": (transfer(1, "destruction", ARTIST, "NULL", 0, 1), MOVES),
    "a finding of what is not lost": (transfer(1, "finding", "NULL", BUYER, 0, 1), "only what is lost"),
    "a keeping with title and no custody": (transfer(3, "kept", "NULL", OTHER, 1, 0), MOVES),
    "a gift that settles": (transfer(1, "gift", ARTIST, BUYER, 1, 1, sale(4)), TOLD),
    # payments, and sales from the studio or from a consignment
    "a payment of nothing": (transfer(1, "payment", ARTIST, BUYER, 1, 0), MOVES),
    "a payment of another print's sale": (transfer(2, "payment", ARTIST, BUYER, 1, 0, sale(4)), TOLD),
    "a payment by a stranger": (transfer(4, "payment", ARTIST, OTHER, 1, 0, sale(4)), TOLD),
    "a payment from a stranger": (transfer(4, "payment", GALLERY, BUYER, 1, 0, sale(4)), TOLD),
    "a payment that moves title again": (transfer(3, "payment", ARTIST, BUYER, 1, 0, sale(3)), TOLD),
    "a payment that moves no title": (transfer(4, "payment", ARTIST, BUYER, 0, 0, sale(4)), TOLD),
    "a return that ends another's consignment": (transfer(
        2, "return", GALLERY, ARTIST, 0, 1, f"(SELECT min(id) FROM transfer WHERE item = {PRINT.format(4)})"
    ), TOLD),
    "a sale with title of what a gallery has": (transfer(2, "sale", ARTIST, BUYER, 1, 1), "title passes"),
    "a sale without title of what is here": (transfer(1, "sale", ARTIST, BUYER, 0, 1), "title passes"),
    "a later sale without title": (transfer(3, "sale", BUYER, OTHER, 0, 1), "title passes"),
    "a sale before its consignment": (
        transfer(2, "sale", ARTIST, BUYER, 0, 1, day="2026-03-03"), "contradicts the order"
    ),
    # what fell through, and corrections
    "a sale that falls through after its payment": ((
        transfer(3, "payment", ARTIST, BUYER, 0, 0, sale(3)),
        transfer(3, "return", BUYER, ARTIST, 1, 1, sale(3)),
    ), "taken|settles something else"),
    "title back without its sale": (transfer(3, "return", BUYER, ARTIST, 1, 1), MOVES),
    "title back to somebody else": (transfer(3, "return", BUYER, OTHER, 1, 1, sale(3)), TOLD),
    "title back of a sale from a consignment": (transfer(4, "return", BUYER, ARTIST, 1, 1, sale(4)), TOLD),
    "another price": ("UPDATE transfer SET price = 1, currency = 'EUR' WHERE kind = 'sale'", "recorded correction"),
    **{f"a corrected transfer's {what.split(' =')[0]}": (
        (CORRECTION, f"UPDATE transfer SET {what} WHERE id = {sale(3)}"), words
    ) for what, words in (
        ("kind = 'gift'", "recorded correction"), (f"to_party = {OTHER}", "recorded correction"),
        ("title = 0", "recorded correction"), ("sequence = 9", "recorded correction"),
        ("inserted = 7", "recorded correction"), ("by = 'y'", "recorded correction"),
        ("insured = 1", "has a currency"),
    )},
    "a correction of another thing": (
        (CORRECTION, f"UPDATE transfer SET note = 'x' WHERE id = {sale(4)}"), "recorded correction"
    ),
    "a loan told later between, and dated after": (
        transfer(4, "loan", GALLERY, OTHER, 0, 1, day="2026-05-01", inserted="1500000"), "contradicts the order"
    ),
    # the negative that is gone
    "a cancellation proof made a number": (
        f"UPDATE print SET kind = 'numbered' WHERE id = {PRINT.format(10)}", "its negative was|recorded correction"
    ),
    "the same with a correction": ((
        f"""INSERT INTO correction (subject, field, why, by, happened)
        SELECT {PRINT.format(10)}, 'designation', 'slip', 'x', '2026-03-09'""",
        f"UPDATE print SET kind = 'numbered' WHERE id = {PRINT.format(10)}",
    ), "its negative was cancelled"),
    "a print of what was gone": (another("'work'", negative=2, edition=3), "its negative was cancelled"),
    "one with no last day": (tuple(
        one.replace("'2026-04-02', 'work'", "'', 'work'")
        for one in another("'work'", negative=2, edition=3)
    ), "its negative was cancelled"),
    "a print dated after its negative broke": ((
        """INSERT INTO negative_event (negative, state, happened, earliest, latest, by)
        SELECT id, 'broken', '2026-03-09', '2026-03-09', '2026-03-09', 'x' FROM code WHERE code = 'N-0001'""",
        f"""UPDATE print SET made = '2026-03-10', earliest = '2026-03-10', latest = '2026-03-10'
        WHERE id = {PRINT.format(6)}""",
    ), "its negative was cancelled"),
    # sizes
    "the size of a print with a certificate": (
        f"UPDATE print SET image_height = 400000, image_width = 500000 WHERE id = {PRINT.format(1)}", "size is frozen"
    ),
    "the sheet of a sold print": (f"UPDATE print SET sheet_height = 1 WHERE id = {PRINT.format(3)}", "size is frozen"),
    # second editions: size within five millimetres or not known, and the same process
    "the same edition again": (second("gold", ""), "another one has this size"),
    "the same again, disclosed": (second("gold", "said"), "another one has this size"),
    "two millimetres more": (second("gold", "", 202_000), "another one has this size"),
    "no size": (second("gold", "", height="NULL"), "another one has this size"),  # type: ignore[arg-type]
    "another toning, and not a word": (second("sepia", ""), "another one has this size"),
    "a disclosure taken back": (
        f"UPDATE edition SET disclosure = '' WHERE id = {EDITION.format(2)}", "another one has this size"
    ),
    "an estate's, all at once": (f"UPDATE edition SET estate = 1 WHERE id = {EDITION.format(2)}", "of an estate"),
    # numbers and endings
    "a promised number free": ("UPDATE edition_number SET standing = 'free' WHERE kind = 'AP'", "follows its promise"),
    "a promised number void": ("UPDATE edition_number SET standing = 'void' WHERE kind = 'AP'", "follows its promise"),
    "a promised number given to no print": (
        "UPDATE edition_number SET standing = 'given' WHERE kind = 'AP'", "follows its promise"
    ),
    "a promise of a number that is not held": (
        f"""INSERT INTO promise (edition, kind, number, party, promised, by)
        SELECT {EDITION.format(2)}, 'numbered', 1, {OTHER}, '2026-04-01', 'x'""", "held first|no such"
    ),
    "a promise to somebody else": (f"UPDATE promise SET party = {OTHER}", "of one number to one party"),
    "complete by hand": (f"UPDATE edition SET state = 'complete' WHERE id = {EDITION.format(2)}", "by an event only"),
    "closed by hand": (f"UPDATE edition SET closed_at = 5 WHERE id = {EDITION.format(1)}", "by an event only"),
    "complete with numbers left": (event(2, "complete"), "no number of it is left open"),
    "cancelled with numbers left": (event(2, "cancelled", "fate", "'kept'"), "no number of it is left open"),
    "cancelled twice": (event(4, "cancelled", "fate", "'kept'"), "it ends once"),
    "closed after it was cancelled": (event(4, "complete"), "it ends once"),
    "closed below a number that is given": (event(1, "closed early", value="3"), "at or above the highest"),
    "closed at a number it does not have": (event(2, "closed early", value="9"), "it ends once"),
    "an end before it began": (event(2, "closed early", value="1", day="2026-01-01"), "it ends once"),
    "a print of an ended edition": (f"UPDATE print SET kind = 'open' WHERE id = {PRINT.format(9)}", "edition ended"),
    "a new one of an ended edition": (another("'open'", negative=3, edition=4), "edition ended"),
    # certificates
    "a second certificate that stands": (
        """INSERT INTO certificate (id, print, issued, earliest, latest, facts, private_facts, jws, key, by)
        SELECT code.id, print, issued, '2026-03-03', '2026-03-03', facts, private_facts, jws, key, 'x'
        FROM certificate, code WHERE code.code = 'C-0099'""", "one that stands"
    ),
    # a life
    "a signature without a day": (
        f"UPDATE print SET signed = '2026-03-09' WHERE id = {PRINT.format(6)}", "a signature has its day"
    ),
    "a signature after the death": ((
        DIED,
        f"""UPDATE print SET kind = 'work', signed = '2026-05', signed_earliest = '2026-05-01'
        WHERE id = {PRINT.format(6)}""",
    ), "after the artist's death"),
    "a number after the death": ((
        DIED, f"UPDATE print SET kind = 'AP', number = 1 WHERE id = {PRINT.format(6)}"
    ), "after the artist's death"),
    "a number for what the artist never signed": ((DIED, *another("'AP'", "1")), "after the artist's death"),
    "a new print signed after the death": (
        (DIED, *another("'AP'", "1", signed="2026-05-01", signed_earliest="2026-05-01")), "after the artist's death"
    ),
}  # fmt: skip


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("plain") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker", "--by", "tester", "--on", "2026-01-01"]) == 0
    for line in LINES:
        assert tirage(folder, line) == 0, line
    connection = plain(folder)
    connection.execute("INSERT INTO code (code, kind, serial) VALUES ('C-0099', 'certificate', 99)")
    connection.close()
    return folder


@pytest.fixture
def folder(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "catalog"))


@pytest.mark.parametrize("what", FORMS)
def test_plain_sql_cannot(folder: Path, what: str) -> None:
    statements, words = FORMS[what]
    connection = plain(folder)
    *before, last = (statements,) if isinstance(statements, str) else statements
    for statement in before:
        connection.execute(statement)
    with pytest.raises(Exception, match=words):
        connection.execute(last)
    refused(connection, last)
    connection.close()


# what the rules leave possible, as the commands write it
ALLOWED: dict[str, tuple[str, ...]] = {
    "a sale from the studio": (transfer(1, "sale", ARTIST, BUYER, 1, 1),),
    "a sale from a consignment, and its payment": (
        transfer(2, "sale", ARTIST, BUYER, 0, 1),
        transfer(2, "payment", ARTIST, BUYER, 1, 0, sale(2)),
    ),
    "a payment of what is destroyed": (
        transfer(4, "destruction", ARTIST, "NULL", 1, 1),
        transfer(4, "payment", ARTIST, BUYER, 0, 0, sale(4)),
    ),
    "a sale that falls through": (transfer(3, "return", BUYER, ARTIST, 1, 1, sale(3)),),
    "a price that is set right": (
        CORRECTION, f"UPDATE transfer SET price = 1, currency = 'EUR' WHERE id = {sale(3)}",
    ),
    "a gift of what a gallery has": (transfer(2, "gift", ARTIST, BUYER, 1, 1),),
    "a later sale by nobody knows whom": (transfer(3, "sale", "NULL", OTHER, 1, 1),),
    "a later owner": (transfer(3, "kept", "NULL", OTHER, 1, 1),),
    "a loss and a finding": (
        transfer(1, "theft", ARTIST, "NULL", 0, 1),
        transfer(1, "finding", "NULL", ARTIST, 0, 1),
    ),
    "a second edition toned otherwise, disclosed": second("sepia", "said"),
    "a larger second edition": second("gold", "", 206_000),
    "another process": second("gold", "", process="albumen"),
    "an early close": (event(2, "closed early", value="1"),),
    "a signature before the death, told later": (
        DIED,
        f"""UPDATE print SET kind = 'AP', number = 1, signed = '2026-03-20', signed_earliest = '2026-03-20'
        WHERE id = {PRINT.format(6)}""",
    ),
    "a signature of some time before": (
        f"UPDATE print SET kind = 'work', signed = '/2026' WHERE id = {PRINT.format(6)}",
    ),
    "a cancellation proof after the death": (
        DIED,
        "INSERT INTO edition_proofs SELECT id, 'CP', 1 FROM code WHERE code = 'E-0002'",
        *another("'CP'", "1", edition=2),
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", ALLOWED)
def test_what_may_happen(folder: Path, what: str) -> None:
    connection = plain(folder)
    before = dump(connection)
    for statement in ALLOWED[what]:
        connection.execute(statement)
    assert dump(connection) != before
    connection.close()
