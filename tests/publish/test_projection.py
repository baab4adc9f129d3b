"""The public copy holds what is shown and not one private word: read byte by byte, from a real catalog."""

import json
import sqlite3
from collections.abc import Iterator
from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from catalog.cli.desk import Desk
from catalog.cli.main import tirage
from catalog.dates import moment, parse_date
from catalog.events import Event
from catalog.money import Money
from catalog.publish import projection
from catalog.publish.projection import NotAPublicCopyError, Published, publish
from catalog.publish.reading import CERTIFICATE, TABLES, PublicCopy
from catalog.publish.search import FIND, fold, query
from catalog.records import (
    artist_keys,
    catalogs,
    certificates,
    designations,
    edition_endings,
    edition_errata,
    edition_prices,
    editions,
    negatives,
    papers,
    parties,
    pictures,
    places,
    prints,
    private_keys,
    promises,
    settings,
    transfers,
    washers,
)
from catalog.records import steps as step_records
from catalog.records.items import Coded
from catalog.rules.edition_map import edition_map
from catalog.signing import canonical
from catalog.store import connection as store
from catalog.vocabulary import EDITION_FATES

NOW = datetime(2026, 5, 12, 9, 0, tzinfo=UTC)
FACTS = {"title": "Sluice house", "print": {"printed_by": ""}, "other_editions": []}


def at(day: str, note: str = "") -> Event:
    return Event(moment(day, None, NOW), "Odile Kestrelmann", note)


class Studio:
    """A catalog with one shown negative, one shown edition of a hidden negative, and one hidden negative."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.connection = store.create(folder)
        catalogs.begin(self.connection, "Žofie Đurđević", "1961", "", "", "Łąka", "2026-01-01")
        settings.begin(self.connection, "2026-01-01")
        self.buyer = parties.add(
            self.connection,
            "Wilhelmina Quarterbottle",
            note="PARTYNOTE bargains",
            place="Zwettmar",
            contacts={"mail": "wq@example.org", "telephone": "0555-773311"},
        )
        self.gallery = parties.add(self.connection, "Gallery Ulmenhof", "gallery")
        paper = papers.add(self.connection, "shelf nickname", "warm-tone fibre-base paper, matt", note="PAPERNOTE")
        self.shown, self.half, self.hidden = (
            self._negative(title, place)
            for title, place in (
                ("Sluice house", "Vellmar"),
                ("Ødegård: Straße", "SECRETVALLEY"),
                ("HIDDENTITLE mill", "HIDDENPLACE"),
            )
        )
        self.first, self.second, self.third = (
            self._edition(thing, title, size)
            for thing, title, size in (
                (self.shown, "Sluice house", 5),
                (self.half, "Ødegård: Straße", 3),
                (self.hidden, "HIDDENEDITION", 2),
            )
        )
        self.prints = prints.make(
            self.connection,
            at("2026-02-01", "PRINTNOTE dust"),
            self.first,
            4,
            paper=paper.id,
            printed_by="Percival Darkroomer",
        )
        self.work = prints.make(self.connection, at("2026-02-01"), self.shown, 1)[0]
        self.half_print = prints.make(self.connection, at("2026-02-02"), self.second, 1)[0]
        self.hidden_print = prints.make(self.connection, at("2026-02-02"), self.third, 1)[0]
        for thing in (*self.prints[:3], self.half_print, self.hidden_print):
            designations.sign(self.connection, at("2026-02-10"), thing, text="INSCRIBED for W.")
        step_records.record(self.connection, at("2026-02-01", "STEPNOTE hasty"), "wash", self.prints, seconds=3600)
        room, _ = places.add(self.connection, "north attic/cabinet 7", note="PLACENOTE key under mat")
        places.move(self.connection, at("2026-02-11", "MOVENOTE"), self.prints[:1], room)
        edition_prices.set_price(self.connection, at("2026-02-11"), self.first.id, Money(987654, "EUR"))
        transfers.sell(
            self.connection,
            at("2026-03-01", "SALENOTE haggled"),
            self.prints[0],
            self.buyer.id,
            Money(876543, "EUR"),
            "THEIRNUMBER-9",
        )
        transfers.destroy(self.connection, at("2026-03-02", "DESTROYNOTE"), self.prints[1])
        declared = editions.read(self.connection, self.first.id)
        promises.reserve(
            self.connection,
            at("2026-03-02", "PROMISENOTE"),
            declared,
            "numbered",
            5,
            self.buyer.id,
            ("2026-06", "2026-06-30"),
        )
        private_keys.begin(self.connection, folder, "2026-01-01")
        self.certificate = self.certify(self.prints[0], FACTS)
        negatives.show(self.connection, self.shown.id, True)
        editions.show(self.connection, self.second.id, True)

    def _negative(self, title: str, where: str) -> Coded:
        return negatives.add(
            self.connection,
            at("2026-01-05", "NEGATIVENOTE flaw"),
            title,
            series="The Salt Works",
            made=parse_date("1998"),
            made_where=where,
            process="wet collodion",
            support="glass",
            size=(180000, 240000),
            mark="SCRATCHEDMARK",
            description=f"Poured at {where}",
        )

    def _edition(self, negative: Coded, title: str, size: int) -> Coded:
        return editions.declare(
            self.connection,
            at("2026-01-20", "EDITIONNOTE"),
            negative.id,
            title,
            size,
            {"AP": 2},
            image=(180000, 240000),
            process="salt print",
            paper="cool glossy paper",
        )

    def certify(self, thing: Coded, facts: dict[str, object]) -> certificates.Certificate:
        return certificates.issue(
            self.connection,
            at("2026-03-05"),
            thing.id,
            facts,
            {"buyer": self.buyer.name, "price": "EUR 8,765.43"},
            private_keys.KeyRing(self.folder),
        )

    def publish(self, target: Path | None = None) -> Published:
        if self.connection.in_transaction:
            self.connection.execute("COMMIT")
        return publish(
            self.connection,
            self.folder / "pictures",
            target or self.folder / "public",
            "2026-05-12",
            "https://example.org",
        )

    def public(self) -> PublicCopy:
        return PublicCopy(self.folder / "public")


@pytest.fixture
def studio(tmp_path: Path) -> Iterator[Studio]:
    made = Studio(tmp_path / "catalog")
    yield made
    made.connection.close()


def forbidden(connection: sqlite3.Connection) -> set[str]:
    """Every private string that a catalog holds, as a person would recognise it."""
    questions = (
        "SELECT name FROM party WHERE nameable = 0",
        "SELECT note FROM party",
        "SELECT value FROM party_contact",
        "SELECT place FROM party WHERE nameable = 0",
        "SELECT name FROM place",
        "SELECT note FROM place",
        "SELECT note FROM negative",
        "SELECT mark FROM negative",
        "SELECT note FROM negative_event",
        "SELECT note FROM edition",
        "SELECT note FROM print",
        "SELECT printed_by FROM print",
        "SELECT note FROM paper",
        "SELECT name FROM paper",
        "SELECT note FROM step",
        "SELECT by FROM step",
        "SELECT text FROM inscription",
        "SELECT note FROM transfer",
        "SELECT their_number FROM transfer",
        "SELECT note FROM promise",
        "SELECT why FROM movement",
        "SELECT private_facts FROM certificate",
        "SELECT jws FROM certificate",
        "SELECT why FROM artist_key",
        "SELECT why FROM artist_key_end",
        "SELECT slip FROM certificate",
        "SELECT note FROM edition_event",
        "SELECT by FROM edition_event",
        "SELECT by FROM edition_erratum",
        "SELECT condition FROM transfer",
        "SELECT place FROM transfer",
        "SELECT occasion FROM transfer",
        "SELECT remark FROM transfer",
    )
    found = {row[0] for question in questions for row in connection.execute(question) if row[0]}
    for amount, currency in connection.execute(
        "SELECT amount, currency FROM edition_price UNION SELECT price, currency FROM transfer WHERE price IS NOT NULL"
    ):
        money = Money(amount, currency).text()
        found |= {money, money.split()[-1], str(amount)}
    return {text for text in found if len(text) > 3}


def every_byte(folder: Path) -> dict[str, bytes]:
    return {str(file.relative_to(folder)): file.read_bytes() for file in folder.rglob("*") if file.is_file()}


def holders(folder: Path, texts: set[str]) -> list[tuple[str, str]]:
    """Which file holds which text, as it stands or folded for searching, in UTF-8 or UTF-16."""
    forms = {
        text: {form.encode(code) for form in (text, fold(text)) for code in ("utf-8", "utf-16-le")} for text in texts
    }
    return [
        (name, text)
        for name, data in every_byte(folder).items()
        for text, wanted in forms.items()
        if any(form in data for form in wanted)
    ]


def test_the_guard_knows_what_is_private(studio: Studio) -> None:
    found = forbidden(studio.connection)
    assert {
        "Wilhelmina Quarterbottle",
        "wq@example.org",
        "0555-773311",
        "north attic",
        "EUR 9,876.54",
        "8,765.43",
        "SALENOTE haggled",
        "NEGATIVENOTE flaw",
        "Percival Darkroomer",
    } <= found
    assert "Žofie Đurđević" not in found and "Gallery Ulmenhof" not in found


def test_no_private_string_in_any_byte(studio: Studio) -> None:
    published = studio.publish()
    assert (published.negatives, published.editions, published.prints, published.certificates) == (2, 2, 4, 1)
    private = forbidden(studio.connection) | {
        "HIDDENTITLE",
        "HIDDENPLACE",
        "HIDDENEDITION",
        "SECRETVALLEY",
        "Quarterbottle",
        "Kestrelmann",
        "Gallery Ulmenhof",
        "E-0003",
        "N-0003",
        studio.hidden_print.code,
        studio.work.code,
        str(studio.folder),
        (studio.folder / "keys").as_posix(),
    }
    private |= {
        line
        for file in (studio.folder / "keys").iterdir()
        for line in file.read_text().splitlines()
        if not line.startswith("-")
    }
    assert holders(studio.folder / "public", private) == []
    assert not any(b"NOTE" in data for data in every_byte(studio.folder / "public").values())
    assert holders(studio.folder / "public", {"Sluice house"}) != []  # the search itself finds what is there


def test_words_of_search_hold_nothing_private(studio: Studio) -> None:
    studio.publish()
    copy = studio.public()
    assert {row["code"] for row in copy.rows(FIND, query("sluice"), 60)} >= {"N-0001", "E-0001", "P-000001"}
    assert copy.rows(FIND, query("odegard strasse"), 60)
    for word in ("Quarterbottle", "SECRETVALLEY", "HIDDENTITLE", "attic", "work print", "NEGATIVENOTE"):
        assert copy.rows(FIND, query(word), 60) == []


def test_nothing_shown_is_nothing_public(studio: Studio) -> None:
    negatives.show(studio.connection, studio.shown.id, False)
    editions.show(studio.connection, studio.second.id, False)
    assert studio.publish() == Published(0, 0, 0, 0, 0)
    copy = studio.public()
    for table in TABLES - {"site", "key"}:  # a public key is public: what it signed is checked with it
        assert copy.rows(f"SELECT * FROM {table}") == [], table


def test_negative_of_a_shown_edition_is_minimal(studio: Studio) -> None:
    studio.publish()
    row = studio.public().row("SELECT * FROM negative WHERE code = ?", studio.half.code)
    assert row is not None and row["title"] == "Ødegård: Straße" and row["size"] == "18.0 × 24.0 cm"
    assert {row[name] for name in ("made_where", "process", "support", "state", "description")} == {""}
    assert row["series"] is None


def test_work_and_undesignated_prints_are_absent(studio: Studio) -> None:
    studio.publish()
    codes = {row["code"] for row in studio.public().rows("SELECT code FROM print")}
    assert codes == {thing.code for thing in (*studio.prints[:3], studio.half_print)}


def test_standings_and_differences(studio: Studio) -> None:
    studio.publish()
    rows = studio.public().rows(
        "SELECT label, standing, print FROM edition_number WHERE edition = 'E-0001' ORDER BY position"
    )
    assert [(row["label"], row["standing"]) for row in rows] == [
        ("1/5", "placed"),
        ("2/5", "destroyed"),
        ("3/5", "available"),
        ("4/5", "not yet printed"),
        ("5/5", "reserved"),
        ("AP 1/2", "not yet printed"),
        ("AP 2/2", "not yet printed"),
    ]
    row = studio.public().row("SELECT * FROM print WHERE code = 'P-000001'")
    assert row is not None and row["signed"] == "signed verso in pencil, 10 February 2026"
    assert row["differs"].startswith(
        "This print differs in its paper: warm-tone fibre-base paper, matt; the edition intended cool glossy paper."
    )


def declare(studio: Studio, negative: Coded, title: str, size: int | None, **more: object) -> Coded:
    return editions.declare(studio.connection, at("2026-03-10"), negative.id, title, size, {"AP": 3}, **more)  # type: ignore[arg-type]


def edition_row(studio: Studio, code: str) -> dict[str, object]:
    studio.publish()
    return studio.public().row("SELECT * FROM edition WHERE code = ?", code) or {}


def test_errata_disclosure_and_both_counts(studio: Studio) -> None:
    disclosed = "E-0004 is the same image and size on another paper."
    second = declare(studio, studio.shown, "Sluice house, matt", 4, image=(180000, 240000), process="salt print",
                     disclosure=disclosed, numerals="roman")  # fmt: skip
    edition_errata.add(studio.connection, at("2026-03-11", "WHYNOTE"), studio.first.id, "The list said 6 numbers")
    proofs = prints.make(studio.connection, at("2026-03-12"), second, 2)
    designations.sign(studio.connection, at("2026-03-13"), proofs[0], kind="AP", number=2)
    row = edition_row(studio, second.code)
    assert (row["disclosure"], row["of_image"]) == (
        disclosed,
        "4 signed and numbered over 2 editions: 3 numbered, 1 proof; 1 of them destroyed",
    )
    copy = studio.public()
    assert copy.rows("SELECT * FROM edition_erratum") == [
        {"edition": "E-0001", "position": 1, "happened": "11 March 2026", "text": "The list said 6 numbers."}
    ]
    labels = copy.rows("SELECT label FROM edition_number WHERE edition = ? AND kind = 'AP'", second.code)
    assert [found["label"] for found in labels] == ["AP I/III", "AP II/III", "AP III/III"]
    assert copy.row("SELECT designation FROM print WHERE code = ?", proofs[0].code) == {"designation": "AP II/III"}


def test_the_count_of_an_image_that_is_not_wholly_shown_is_left_out(studio: Studio) -> None:
    assert edition_row(studio, studio.second.code)["of_image"] != ""
    declare(studio, studio.half, "HIDDENEDITION", 9, image=(90000, 120000))
    row = edition_row(studio, studio.second.code)
    assert row["of_image"] == "" and str(row["counted"]).startswith("1 of 3 numbers given, 1 signed")


@pytest.mark.parametrize("fate", EDITION_FATES)
def test_a_cancelled_edition_says_what_became_of_its_negative(studio: Studio, fate: str) -> None:
    promises.withdraw(studio.connection, editions.read(studio.connection, studio.first.id), "numbered", 5)
    found = editions.read(studio.connection, studio.first.id)
    edition_endings.cancel(studio.connection, at("2026-04-02", "ENDNOTE weary of it"), found, studio.shown, fate)
    row = edition_row(studio, "E-0001")
    assert (row["state"], row["ended"]) == ("cancelled", f"Cancelled (2 April 2026). Its negative was {fate}.")
    assert holders(studio.folder / "public", {"ENDNOTE", "weary"}) == []
    asked = "SELECT label FROM edition_number WHERE edition = 'E-0001' AND standing = 'void' ORDER BY position"
    assert [found["label"] for found in studio.public().rows(asked)] == ["4/5", "5/5", "AP 1/2", "AP 2/2"]


@pytest.mark.parametrize("state", ["lost", "broken", "destroyed", "cancelled", "deposited", "retired"])
def test_whatever_became_of_a_negative_its_page_is_there(studio: Studio, state: str) -> None:
    negatives.enter_state(studio.connection, at("2026-04-02", "STATENOTE"), studio.shown, state)
    studio.publish()
    assert studio.public().row("SELECT state FROM negative WHERE code = 'N-0001'") == {"state": state}


def test_dates_and_the_estate(studio: Studio) -> None:
    connection = studio.connection
    connection.execute(
        "UPDATE party SET died = '2026-05', died_latest = '2026-05-31' WHERE id = (SELECT artist FROM catalog)"
    )
    of_estate = editions.declare(
        connection,
        at("2026-06-01"),
        studio.shown.id,
        "Sluice house, estate",
        2,
        {},
        image=(300000, 400000),
        estate=True,
    )
    thing = prints.make(connection, at("2026-06-01"), of_estate, 1)[0]
    designations.sign(connection, at("2026-06-02"), thing)
    assert "printed for the estate" in str(edition_row(studio, of_estate.code)["statement"])
    copy = studio.public()
    asked = "SELECT dates, signed FROM print WHERE code = ?"
    assert copy.row(asked, studio.prints[0].code) == {
        "dates": "negative 1998, printed 2026 (later print)",
        "signed": "signed verso in pencil, 10 February 2026",
    }
    assert copy.row(asked, thing.code) == {
        "dates": "negative 1998, printed 2026 (estate print)",
        "signed": "signed for the estate verso in pencil, 2 June 2026",
    }


def test_public_keys_say_whose_they_are(studio: Studio) -> None:
    key = artist_keys.all_keys(studio.connection)[0]
    artist_keys.end(studio.connection, at("2026-04-03"), key, "ENDWHY stolen by a relative")
    studio.publish()
    row = {"thumbprint": key.thumbprint, "x": key.x, "holder": "the artist", "since": "1 January 2026",
           "ended": "3 April 2026", "last_day": "2026-04-03"}  # fmt: skip
    assert studio.public().rows("SELECT * FROM key") == [row]
    assert studio.public().row(CERTIFICATE, studio.certificate.code)["holder"] == "the artist"  # type: ignore[index]
    assert holders(studio.folder / "public", {"ENDWHY", "relative"}) == []


def test_a_copy_made_before_there_were_keys_and_errata_is_replaced(studio: Studio) -> None:
    studio.publish()
    with sqlite3.connect(studio.folder / "public" / "public.db") as before:
        before.executescript("DROP TABLE key; DROP TABLE edition_erratum")
    before.close()
    assert studio.publish().negatives == 2
    assert len(studio.public().rows("SELECT * FROM key")) == 1


def test_consigned_print_sold_but_not_paid_is_reserved_then_placed(studio: Studio) -> None:
    thing = studio.prints[2]
    asked = "SELECT standing FROM print WHERE code = ?"
    standings = []
    for happening in (
        lambda: transfers.hand_out(studio.connection, at("2026-03-03"), thing, "consignment", studio.gallery.id),
        lambda: transfers.sell(studio.connection, at("2026-03-04"), thing, studio.buyer.id, None),
        lambda: transfers.pay(studio.connection, at("2026-03-05"), thing),
    ):
        happening()
        studio.publish()
        standings.append((studio.public().row(asked, thing.code) or {})["standing"])
    assert standings == ["available", "reserved", "placed"]


def test_studio_and_public_words_come_from_one_map(studio: Studio) -> None:
    lent, given = studio.prints[2], studio.half_print
    transfers.hand_out(studio.connection, at("2026-03-03"), lent, "loan", studio.gallery.id)
    transfers.give(studio.connection, at("2026-03-03"), given, studio.buyer.id)
    studio.publish()
    copy = studio.public()
    for edition, thing, word, public in (
        (studio.first, lent, "lent", "available"),
        (studio.second, given, "given", "placed"),
    ):
        cells = edition_map(studio.connection, editions.read(studio.connection, edition.id))
        assert [cell.standing for cell in cells if cell.code == thing.code] == [word]
        assert copy.rows("SELECT standing FROM edition_number WHERE print = ?", thing.code) == [{"standing": public}]
        assert copy.rows("SELECT standing FROM print WHERE code = ?", thing.code) == [{"standing": public}]


def test_replacement_bears_the_number_and_names_the_first(studio: Studio) -> None:
    designations.replace(studio.connection, at("2026-03-06"), studio.prints[1], studio.prints[3])
    studio.publish()
    copy = studio.public()
    cell = copy.row("SELECT * FROM edition_number WHERE edition = 'E-0001' AND kind = 'numbered' AND number = 2")
    assert cell is not None and (cell["print"], cell["standing"]) == (studio.prints[3].code, "available")
    later = copy.row("SELECT replaces FROM print WHERE code = ?", studio.prints[3].code)
    assert later == {"replaces": studio.prints[1].code}


@pytest.mark.parametrize(
    ("facts", "shown"),
    [
        (FACTS, True),
        ({**FACTS, "print": {"printed_by": "Percival Darkroomer"}}, False),
        ({**FACTS, "print": {"printed_by": "Žofie Đurđević"}}, True),
        ({**FACTS, "other_editions": [{"code": "E-0003", "title": "HIDDENEDITION"}]}, False),
        ({**FACTS, "other_editions": [{"code": "E-0002", "title": "Ødegård: Straße"}]}, True),
    ],
)
def test_facts_of_a_certificate_are_whole_or_withheld(studio: Studio, facts: dict[str, object], shown: bool) -> None:
    made = studio.certify(studio.prints[2], facts)
    studio.publish()
    row = studio.public().row("SELECT * FROM certificate WHERE code = ?", made.code)
    assert row is not None and row["facts"] == (made.facts if shown else "")
    assert row["fingerprint"].replace(" ", "") == made.fingerprint
    assert canonical(json.loads(made.facts)).decode() == made.facts


def test_revocation_is_told_without_its_reason(studio: Studio) -> None:
    certificates.revoke(studio.connection, at("2026-04-01"), studio.certificate.id, "issued for the wrong print")
    studio.publish()
    assert studio.public().row("SELECT standing FROM certificate") == {"standing": "revoked"}
    assert holders(studio.folder / "public", {"wrong print"}) == []


def test_free_details_and_names_of_washers_stay_in_the_studio(studio: Studio) -> None:
    tray = washers.add(studio.connection, "Jane's tray", "tray")
    detail = {"changes": 6, "strength": "for Jane Buyer", "helper": "Jane Buyer, 900 EUR"}
    step_records.record(
        studio.connection, at("2026-02-03"), "wash", studio.prints, washer=tray, seconds=1800, detail=detail
    )
    studio.publish()
    rows = studio.public().rows("SELECT happened, detail FROM step WHERE print = 'P-000001' ORDER BY position")
    assert [(row["happened"], row["detail"]) for row in rows] == [
        ("1 February 2026", "60 min"),
        ("3 February 2026", "tray, 30 min, changes 6"),
    ]
    assert holders(studio.folder / "public", {"Jane", "Buyer", "900 EUR", "helper"}) == []


def add_picture(studio: Studio, thing: Coded, file: Path) -> None:
    exif = Image.Exif()
    exif[0x010E] = "EXIFSECRET at the buyer's house"
    exif[0x0112] = 6  # lies on its side
    Image.linear_gradient("L").resize((2000, 1000)).save(file, exif=exif, comment=b"COMMENTSECRET", dpi=(77, 77))
    pictures.add(studio.connection, at("2026-02-01"), thing, file, studio.folder, caption="CAPTIONSECRET")


def test_pictures_are_pixels_only(studio: Studio, tmp_path: Path) -> None:
    for thing in (studio.shown, studio.half, studio.hidden):
        add_picture(studio, thing, tmp_path / f"{thing.code}.jpg")
    assert studio.publish().pictures == 2
    folder = studio.folder / "public" / "pictures"
    assert sorted(file.name for file in folder.iterdir()) == [
        "n-0001.jpg",
        "n-0001__small.jpg",
        "n-0002.jpg",
        "n-0002__small.jpg",
    ]
    with Image.open(folder / "n-0001.jpg") as image:
        assert image.size == (800, 1600) and not image.getexif() and not {"comment", "exif"} & image.info.keys()
    with Image.open(folder / "n-0001__small.jpg") as image:
        assert max(image.size) == 480
    assert holders(studio.folder / "public", {"EXIFSECRET", "COMMENTSECRET", "CAPTIONSECRET"}) == []


def test_unchanged_pictures_are_not_drawn_again(studio: Studio, tmp_path: Path) -> None:
    add_picture(studio, studio.shown, tmp_path / "master.jpg")
    studio.publish()
    large = studio.folder / "public" / "pictures" / "n-0001.jpg"
    before = large.stat().st_mtime_ns, large.stat().st_ino
    assert studio.publish().pictures == 1
    assert (large.stat().st_mtime_ns, large.stat().st_ino) == before
    large.with_name("n-0001__small.jpg").unlink()
    assert studio.publish().pictures == 1 and large.with_name("n-0001__small.jpg").is_file()


def test_unreadable_master_is_told_and_left_out(studio: Studio, tmp_path: Path) -> None:
    add_picture(studio, studio.shown, tmp_path / "master.jpg")
    (studio.folder / "pictures" / "N-0001-1.jpg").write_bytes(b"no picture")
    published = studio.publish()
    assert (published.pictures, published.unreadable) == (0, ("N-0001-1.jpg",))


def test_publishing_again_leaves_no_residue(studio: Studio, tmp_path: Path) -> None:
    add_picture(studio, studio.shown, tmp_path / "master.jpg")
    studio.publish()
    negatives.show(studio.connection, studio.shown.id, False)
    assert studio.publish() == Published(1, 1, 1, 0, 0)
    gone = {"Sluice", "N-0001", "n-0001", "E-0001", "P-000001", studio.certificate.code, "Vellmar", "Salt Works"}
    assert holders(studio.folder / "public", gone) == []
    assert list((studio.folder / "public" / "pictures").iterdir()) == []
    assert [entry.name for entry in studio.folder.iterdir() if entry.name.startswith(".public")] == []


def test_foreign_folders_are_refused_untouched(studio: Studio, tmp_path: Path) -> None:
    foreign = tmp_path / "holiday"
    foreign.mkdir()
    (foreign / "letter.txt").write_text("dear")
    other = tmp_path / "other"
    other.mkdir()
    with sqlite3.connect(other / "public.db") as database:
        database.execute("CREATE TABLE apples (id)")
    database.close()
    for target in (foreign, other, studio.folder, foreign / "letter.txt"):
        before = every_byte(target)
        with pytest.raises(NotAPublicCopyError) as refusal:
            studio.publish(target)
        assert "public copy" in refusal.value.sentence and every_byte(target) == before
    (tmp_path / "empty").mkdir()
    assert studio.publish(tmp_path / "empty").negatives == 2


def test_a_failure_leaves_the_copy_before(studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    studio.publish()
    before = every_byte(studio.folder / "public")
    monkeypatch.setattr(projection, "copy_certificates", lambda *_: (_ for _ in ()).throw(OSError(28, "no room")))
    with pytest.raises(projection.NotPublishedError, match="no room"):
        studio.publish()
    assert every_byte(studio.folder / "public") == before


def test_progress_reaches_its_end(studio: Studio) -> None:
    seen: list[tuple[int, int]] = []
    publish(
        studio.connection,
        studio.folder / "pictures",
        studio.folder / "public",
        "2026-05-12",
        "https://example.org",
        lambda done, total: seen.append((done, total)),
    )
    assert seen[-1] == (6, 6)


def test_commands_mark_and_publish(studio: Studio, monkeypatch: pytest.MonkeyPatch) -> None:
    studio.connection.execute("COMMIT")
    runner = CliRunner()

    def run(*words: str) -> str:
        result = runner.invoke(tirage, words, obj=Desk(studio.folder), catch_exceptions=False)
        assert result.exit_code == 0, result.output
        return result.output

    assert "Published to" in run("publish")
    assert "E-0003: may be published" in run("shown", "e3")
    assert "3 negatives, 3 editions, 5 prints, 1 certificate, 0 pictures" in run("publish")
    assert "not shown any more" in run("shown", "n1", "e2-3", "--off")
    assert "Nothing is marked as shown yet" in run("publish")

    def stopped(folder: Path, templates: Path, port: int, ready: object) -> None:
        assert (templates / "base.html").is_file() and port == 0
        ready("http://127.0.0.1:1/")  # type: ignore[operator]
        raise KeyboardInterrupt

    monkeypatch.setattr("catalog.publish.site.serve", stopped)
    assert "http://127.0.0.1:1/" in run("browse", "--port", "0")
