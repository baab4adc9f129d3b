"""One plate's life typed from pouring to sale, in short and in long forms, and every slip on the way."""

import re
import sqlite3
import stat
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage


def dump() -> list[str]:
    """The whole catalog as SQL text."""
    with sqlite3.connect("catalog.db") as connection:
        return list(connection.iterdump())


def test_life_of_a_plate(studio: Tirage) -> None:
    assert "6/25" in studio("sign 1-6").out
    assert studio("place add studio/rack2/shelf1").status == 0
    assert studio("move n1 studio/rack2/shelf1 --on 2026-03-07 --by Ada").status == 0
    assert studio("where n1").out == "N-0001: studio/rack2/shelf1 since 7 March 2026, by Ada\n"
    sold = studio("sell", "3", "A. Collector", "900EUR", "--certificate")
    assert sold.status == 0, sold.err
    assert Path("out/certificate-C-0001.pdf").read_bytes().startswith(b"%PDF")
    assert studio("label 1-6").status == 0
    assert studio("provenance 3").status == 0
    assert Path("out/provenance-P-000003.pdf").exists()
    assert studio("shown n1").status == 0
    assert studio("publish").status == 0
    assert Path("public/public.db").exists()
    assert studio("consign", "4-5", "Gallery Harbour", "--until", "2028-03", "--commission", "40").status == 0
    assert "consigned" in studio("edition show e1").out
    assert studio("return 4").status == 0
    assert "not yet placed" in studio("where 4").out
    assert studio("sell", "5", "B. Buyer", "1000EUR").status == 0
    assert "owner        Žofie" in studio("print show 5").out  # title stays until it is paid
    assert studio("paid 5").status == 0
    assert "owner        B. Buyer" in studio("print show 5").out
    verdict = studio("certificate verify out/certificate-C-0001.pdf")
    assert verdict.status == 0 and "valid" in verdict.out.lower()


LONG_FORMS = (
    ("sign 1-6", "sign --prints P-000001-P-000006"),
    ("print make e1 2", "print make --of E-0001 --count 2"),
    ("fix 1-6 1m", "fix --items P-000001-P-000006 --bath B-0001 --duration 1m"),
    ("promise e1:4 --to Ada", "promise --number e1:4 --to Ada"),
    ("edition declare n1 5 --image 40x50cm", "edition declare --negative N-0001 --size 5 --image 40x50cm"),
    ("price e1 950EUR", "price --edition E-0001 --price 950EUR"),
    ("caption 1-2", "caption --prints P-000001-P-000002"),
    ("unsold e1", "unsold --edition E-0001"),
    ("where n1", "where --items N-0001"),
)


@pytest.mark.parametrize(("short", "long"), LONG_FORMS)
def test_short_and_long_forms_say_the_same(studio: Tirage, short: str, long: str) -> None:
    first = studio(short)
    assert first.status == 0, first.err
    if short.split()[0] not in ("where", "caption", "unsold"):
        assert studio("undo").status == 0
    second = studio(long)
    assert second.status == 0, second.err
    plain = re.compile(r"[A-Z]-\d+")
    assert plain.sub("#", first.out) == plain.sub("#", second.out)


# line -> words its sentence must hold: the value that was wrong, and the remedy
REFUSED = (
    ("print show 99", "99"),
    ("print show n1", "expected a print"),
    ("sign 6-1", "backwards"),
    ("sign 1-9", "P-000007"),
    ("print make e1 0", "1 to 1000"),
    ("print make e1 two", "whole number"),
    ("negative add Dusk --made 2026-02-30", "2026-02-30"),
    ("negative add Dusk --size 8x", "8x"),
    ("negative add Dusk --size 8x10", "8x10"),
    ("negative state n1 shiny", "shiny"),
    ("sell 1 Ada 900", "900"),
    ("price e1 900", "900"),
    ("sign 1 --as 26", "26"),
    ("sign 1 --as XX1", "XX1"),
    ("wash 1 60m --on 2026-03-01", "1 March 2026"),
    ("wash 1 60m --on 2026-03-06 --at 10:30", "10:30"),
    ("edition declare n1 many", "many"),
    ("move n1 nowhere", "nowhere"),
    ("negative add Dusk --code n7", "n7"),
    ("return 1", "in the studio"),
    ("paid 1", "P-000001"),
    ("replace 1 2", "destroyed"),
    ("promise e1:26 --to Ada", "26"),
    ("correct 1 number=9 --why slip", "number"),
    ("certificate issue 1", "P-000001"),
    ("edition close e1 --at-number 0", "0"),
)


@pytest.mark.parametrize(("line", "words"), REFUSED)
def test_bad_input_is_one_sentence_and_changes_nothing(studio: Tirage, line: str, words: str) -> None:
    before = dump()
    answer = studio(line)
    assert answer.status in (1, 2)
    assert words in answer.err
    assert "Traceback" not in answer.err and len(answer.err.strip().splitlines()) <= 4
    assert dump() == before


def test_no_twenty_sixth_number_and_no_second_sale(studio: Tirage) -> None:
    studio("print make e1 20")
    assert studio("sign 1-25 --anyway test").status == 0
    answer = studio("sign 26 --anyway test")
    assert answer.status == 1 and "25 numbers" in answer.err
    studio("sell 1 Ada 900EUR")
    again = studio("sell 1 Bea 900EUR")
    assert again.status == 1 and "belongs to Ada" in again.err


def test_a_destroyed_prints_number_goes_to_its_replacement_only(studio: Tirage) -> None:
    studio("sign 1-5")
    assert studio("replace 2 6").status == 1
    assert studio("destroy 2 --why creased").status == 0
    assert studio("move 2 anywhere").status == 1
    assert "2/25" in studio("replace 2 6").out
    assert "P-000006" in studio("print show e1:2").out
    studio("print make e1 1")
    assert "6/25" in studio("sign last --anyway test").out


def test_not_a_catalog_and_a_newer_one(tirage: Tirage, tmp_path: Path) -> None:
    assert "no catalog" in tirage("where n1").err
    Path("catalog.db").write_bytes(b"not a database at all" * 100)
    answer = tirage("where n1")
    assert answer.status == 1 and "not a catalog" in answer.err
    Path("catalog.db").unlink()
    assert tirage("init", "c", "--artist", "A").status == 0
    with sqlite3.connect("c/catalog.db") as connection:
        connection.execute("PRAGMA user_version = 99")
    newer = tirage("--catalog", "c", "negative", "list")
    assert newer.status == 1 and "newer version" in newer.err
    assert tirage("init", "c", "--artist", "A").status == 1


def test_ctrl_c_leaves_everything_as_it_was(studio: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    from catalog.store import journal

    def interrupted(*args: object, **named: object) -> None:
        raise KeyboardInterrupt

    before = dump()
    whole = journal.seal
    monkeypatch.setattr(journal, "seal", interrupted)
    assert studio("sign 1-6").status == 130
    monkeypatch.setattr(journal, "seal", whole)
    assert dump() == before


def test_a_disk_that_is_full(studio: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    from catalog.store import connection as store

    before = dump()
    connect = store._connect

    def full(path: Path) -> sqlite3.Connection:
        opened = connect(path)
        pages = opened.execute("PRAGMA page_count").fetchone()[0]
        opened.execute(f"PRAGMA max_page_count = {pages}")  # what SQLite meets when the disk has no page left
        return opened

    monkeypatch.setattr(store, "_connect", full)
    answer = studio("print make n1 900")
    assert answer.status == 1 and "full" in answer.err and "Nothing was changed" in answer.err
    monkeypatch.setattr(store, "_connect", connect)
    assert dump() == before


def test_the_private_key_is_private(studio: Tirage) -> None:
    keys = list(Path("keys").glob("*.pem"))
    assert len(keys) == 1 and stat.S_IMODE(keys[0].stat().st_mode) == 0o600


def test_undo_takes_back_the_last_command_and_codes_stay_void(studio: Tirage) -> None:
    studio("print make n1 2")
    answer = studio("undo")
    assert answer.status == 0
    assert "taken back" in studio("print show 7").err
    studio("print make n1 1")
    assert "P-000009" in studio("print list n1").out


def test_a_code_of_ones_own_that_was_taken_back_may_be_given_anew_to_its_kind(studio: Tirage) -> None:
    studio("negative add Quay --code old.12")
    assert "stay" not in studio("undo").out
    assert "taken back" in studio("negative show old.12").err
    assert studio("print make n1 1 --code OLD.12").status == 1
    assert studio("negative add Quay2 --code OLD.12").status == 0
    assert "Quay2" in studio("negative show old.12").out
    assert studio("negative add Other --code old.12").status == 1
    assert studio("undo").status == 0
    assert studio("negative add Quay --code old.12").status == 0
    assert studio("check").status == 0


# What must be refused once something happened: commands before, then the line, then words of its sentence.
REFUSED_AFTER = {
    "signing what is destroyed": (("print designate 1 3", "destroy 1 --why broken"), "sign 1", "destroyed"),
    "another number than designated": (("print designate 3 5",), "sign 3 --as 9", "5/25"),
    "destroyed before it was made": ((), "destroy 4 --why x --on 1980-01-01", "made 6 March 2026"),
    "sold before it was signed": (("sign 1 --on 2026-05-01",), "sell 1 Ada 900EUR --on 2026-04-01", "signed"),
    "signed before it was printed": ((), "sign 1 --on 2026-03-01", "printed"),
    "in the washer and straight out": (
        ("fix 1 1m --on 2026-03-07", "wash 1 --on 2026-03-07 --at 10:00", "out 1 --on 2026-03-07 --at 10:00"),
        "sign 1",
        "unwashed",
    ),
    "a future day": ((), "sign 1 --on 2999-01-01", "not come yet"),
    "a correction into the future": ((), "correct 2 made=2999-01-01 --why slip", "not come yet"),
    "an open edition that is closed": (
        ("edition declare n1 open --image 40x50cm", "print make e2 2", "edition close e2"),
        "sign 8 --anyway test",
        "takes nothing more",
    ),
    "consigned though sold": (
        ("sign 3", "consign 3 Gal", "sell 3 Ada 900EUR"),
        "consign 3 Gal",
        "Ada has it",
    ),
    "unsigned prints do not leave": ((), "sell 1 Ada 900EUR", "not signed"),
    "a code shaped like a range": ((), "negative add Dusk --code 1-6", "1-6"),
    "a reason that is none": ((), "destroy 1 --why=", "reason"),
    "a destroyed plate is not lent": (("destroy n1 --why dropped",), "lend n1 Museum", "destroyed"),
    "replacing what was replaced": (
        ("sign 1", "destroy 1 --why x", "replace 1 2", "destroy 2 --why y"),
        "replace 1 3",
        "Replace P-000002",
    ),
}


@pytest.mark.parametrize("name", REFUSED_AFTER)
def test_refused_after_what_happened(studio: Tirage, name: str) -> None:
    lines, line, words = REFUSED_AFTER[name]
    for earlier in lines:
        answer = studio(earlier)
        assert answer.status == 0, answer.err
    before = dump()
    answer = studio(line)
    assert answer.status == 1 and words in answer.err, answer.err
    assert dump() == before


def test_a_sale_on_consignment_that_fell_through(studio: Tirage) -> None:
    for line in ("sign 3", "consign 3 Gal", "sell 3 Ada 900EUR", "return 3", "consign 3 Gal", "sell 3 Bea 950EUR"):
        answer = studio(line)
        assert answer.status == 0, answer.err
    assert "sold to Ada" in studio("print show 3").out
    assert studio("paid 3").status == 0
    assert "owner        Bea" in studio("print show 3").out


def test_a_debt_is_paid_for_what_is_no_more(studio: Tirage) -> None:
    for line in ("sign 3", "sell 3 Ada 900EUR", "destroy 3 --why flood", "paid 3"):
        answer = studio(line)
        assert answer.status == 0, answer.err


def test_bare_tirage_shows_what_is_waiting(studio: Tirage) -> None:
    answer = studio("--catalog", ".")
    assert answer.status == 0 and "sign" in answer.out


def test_words_that_are_no_text(studio: Tirage) -> None:
    for word in ("a\udcff", "a\nb", "a\u202eb", "\x01"):
        answer = studio("negative", "add", word)
        assert answer.status == 1 and "no text" in answer.err
