"""A promise typed by hand: its date, who it was, and that its print goes to nobody else without a word."""

import sqlite3

import pytest

from tests.cli.conftest import Tirage


def done(studio: Tirage, *lines: str) -> None:
    for line in lines:
        answer = studio(line)
        assert answer.status == 0, (line, answer.err)


def promise() -> list[tuple[object, ...]]:
    with sqlite3.connect("catalog.db") as connection:
        return connection.execute("SELECT until, by, ended FROM promise ORDER BY id").fetchall()


# what is typed after `promise e1:4 --to Ada` -> until when, and who
DATES = {
    "--by 2027-05": ("2027-05", "tester"),
    "--until 2027-05": ("2027-05", "tester"),
    "--by-date 2027-05 --who Eve": ("2027-05", "Eve"),
    "": ("", "tester"),
}


@pytest.mark.parametrize("words", DATES)
def test_by_is_the_date(studio: Tirage, words: str) -> None:
    answer = studio(f"promise e1:4 --to Ada {words}")
    assert answer.status == 0, answer.err
    assert promise() == [(*DATES[words], "")]


def test_a_person_after_by_is_no_date(studio: Tirage) -> None:
    answer = studio("promise e1:4 --to Ada --by Eve")
    assert answer.status == 1 and "Eve" in answer.err and "--who NAME" in answer.err
    assert promise() == []


@pytest.mark.parametrize("by", ["2027-05", "1998", "c. 1998", "May 2027"])
def test_elsewhere_by_is_a_person(studio: Tirage, by: str) -> None:
    answer = studio("sign", "1", "--by", by)
    assert answer.status == 1 and "says who did it" in answer.err and "--on DATE" in answer.err
    assert "not yet designated" in studio("print list e1").out


@pytest.mark.parametrize("by", ["May", "April", "Summer", "Studio 54"])
def test_a_name_is_a_name(studio: Tirage, by: str) -> None:
    assert studio("sign", "1", "--by", by).status == 0


# what is typed of a print promised to Ada -> whether it stops
LEAVING = {
    "sell 1 Bea 900EUR": True,
    "sell 1 Ada 900EUR": False,
    "give 1 Bea": True,
    "give 1 Bea --exchange lens": True,
    "give 1 Ada": False,
    "consign 1 Gal": False,
    "consign 1 Bea --approval": True,
    "consign 1 Ada --approval": False,
    "lend 1 Museum": False,
}


@pytest.mark.parametrize("line", LEAVING)
def test_who_gets_a_promised_print(studio: Tirage, line: str) -> None:
    done(studio, "promise e1:4 --to Ada --by 2099", "sign 1 --as 4")
    assert promise()[0][2] == "", "signing keeps no promise"
    answer = studio(line)
    if LEAVING[line]:
        assert answer.status == 1 and "promised to Ada until 2099" in answer.err and "--anyway" in answer.err
        assert "promise E-0001:4 --withdraw" in answer.err and promise()[0][2] == ""
        assert studio(*line.split(), "--anyway", "Ada agreed").status == 0
    else:
        assert answer.status == 0, answer.err
    left = line.startswith(("sell", "give"))
    assert promise()[0][2] == (("withdrawn" if "Bea" in line else "kept") if left else "")
    assert studio("check").status == 0


def test_a_broken_promise_is_told(studio: Tirage) -> None:
    done(studio, "sign 1", "promise e1:1 --to Ada")
    told = studio("sell", "1", "Bea", "900EUR", "--anyway", "Ada agreed")
    assert told.status == 0 and "1 of E-0001 (P-000001) was promised to Ada; that promise is withdrawn" in told.err


def test_a_sale_that_falls_through_tells_of_the_promise_it_ended(studio: Tirage) -> None:
    done(
        studio,
        "sign 1-3",
        "promise e1:1 --to Bea",
        "promise e1:2 --to Ada",
        "promise e1:2 --withdraw",
        "sell 1 Bea 9EUR",
    )
    answer = studio("return 1")
    assert answer.status == 0 and "Mind: 1 of E-0001 was promised to Bea until this sale" in answer.err
    assert 'tirage promise E-0001:1 "Bea"' in answer.err
    done(studio, "promise E-0001:1 Bea", "sell 2 Cy 9EUR", "sell 3 Cy 9EUR")
    assert "promised" not in studio("return 2-3").err, "that promise was withdrawn before the sale"


def test_plain_sql_keeps_no_promise_and_gives_no_number(studio: Tirage) -> None:
    done(studio, "sign 1-2", "promise e1:1 --to Bea", "promise e1:2 --to Ada", "sell 2 Ada 9EUR")
    for statement in (
        "UPDATE promise SET ended = 'kept' WHERE number = 1",
        "UPDATE promise SET ended = '' WHERE number = 2",
        "UPDATE promise SET ended = 'withdrawn' WHERE number = 2",
        "INSERT INTO edition_number SELECT id, 'numbered', 9, 'given' FROM edition",
    ):
        with sqlite3.connect("catalog.db") as connection, pytest.raises(sqlite3.IntegrityError):
            connection.execute(statement)
    assert studio("check").status == 0
    with sqlite3.connect("catalog.db") as connection:
        connection.execute("INSERT INTO edition_number SELECT id, 'numbered', 9, 'void' FROM edition")
    assert "number 9 of E-0001 is void, and the edition has not ended" in studio("check").out


def test_destroyed_before_its_certificate(studio: Tirage) -> None:
    done(studio, "sign 1 --on 2026-05-01", "certificate issue 1 --on 2026-06-01")
    late = "C-0001 of P-000001 was issued after the day it was destroyed"
    answer = studio("destroy 1 --why torn --on 2026-07")
    assert answer.status == 0 and late not in answer.err
    assert late in studio("correct 1 destruction-date=2026-05-02 --why slip").err
    done(studio, "undo", "undo")
    assert late in studio("destroy 1 --why torn --on 2026-05-02").err


def test_due_shows_a_promise_until_it_is_kept(studio: Tirage) -> None:
    done(studio, "promise e1:4 --to Ada", "sign 1 --as 4")
    due = studio("due").out
    assert "4 of E-0001 is promised to Ada" in due and "P-000001 bears it" in due and 'tirage sell 1 "Ada"' in due
    assert "signed, reserved  P-000001" in studio("edition show e1").out
    done(studio, "sell 1 Ada 900EUR")
    assert "promised to Ada" not in studio("due").out


def test_a_number_is_promised_after_it_is_printed_too(studio: Tirage) -> None:
    done(studio, "sign 1-2", "promise e1:1 --to Ada", "sell 2 Bea 900EUR")
    again = studio("promise e1:1 --to Bea")
    assert again.status == 1 and "promised to Ada already" in again.err
    sold = studio("promise e1:2 --to Ada")
    assert sold.status == 1 and "not the studio's to give" in sold.err
    done(studio, "promise e1:1 --withdraw", "edition show e1")
    assert "1/25" in studio("print show e1:1").out, "the number stays with its print"


def test_a_promise_of_a_printed_number_holds_no_edition_open(studio: Tirage) -> None:
    done(studio, "sign 1", "promise e1:1 --to Ada", "edition cancel e1 --negative kept --why over")
    assert promise()[0][2] == ""


def test_a_corrected_number_leaves_its_promise(studio: Tirage) -> None:
    done(studio, "promise e1:4 --to Ada", "sign 1 --as 4", "correct 1 designation=5 --why slip")
    with sqlite3.connect("catalog.db") as connection:
        standing = connection.execute("SELECT standing FROM edition_number WHERE number = 4").fetchall()
    assert standing == [("reserved",)] and promise()[0][2] == ""


def test_the_public_copy_says_reserved(studio: Tirage) -> None:
    done(studio, "sign 1-2", "promise e1:1 --to Ada", "shown n1", "publish")
    with sqlite3.connect("public/public.db") as public:
        found = dict(public.execute("SELECT label, standing FROM edition_number WHERE print IS NOT NULL").fetchall())
    assert found == {"1/25": "reserved", "2/25": "available"}


# --- after the artist's death -----------------------------------------------------------------------------------------

ESTATE = ("edition", "declare", "n1", "5", "--paper", "warm12", "--estate", "--disclose", "Printed by the estate.")


def test_no_lifetime_edition_goes_on_after_the_death(studio: Tirage) -> None:
    early = studio(*ESTATE)
    assert early.status == 1 and "no death of Žofie Đurđević is recorded" in early.err and "party died" in early.err
    done(studio, "sign 1 --on 2026-04-01")
    assert studio("party", "died", "Žofie Đurđević", "2026-04-20").status == 0
    for line in ("promise e1:4 --to Ada", "edition declare n1 9 --process albumen"):
        answer = studio(line)
        assert answer.status == 1 and "died 20 April 2026" in answer.err, line
    before = studio(*ESTATE, "--on", "2026-04-01")
    assert before.status == 1 and "an estate edition is declared after that" in before.err
    done(studio, "promise e1:1 --to Ada")  # signed in life, and the estate's to sell
    done(studio, "edition declare n1 9 --process albumen --on 2026-04-19")  # in life, told late
    assert studio(*ESTATE).status == 0


# --- replacing --------------------------------------------------------------------------------------------------------


def test_a_replacement_goes_on_where_the_reason_is_told(studio: Tirage) -> None:
    done(studio, "sign 1", "destroy 1 --why torn", "fix 2 1m")
    stopped = studio("replace 1 2")
    assert stopped.status == 1 and "--anyway REASON" in stopped.err
    assert studio("replace", "1", "2", "--anyway", "for the mount").status == 0
    assert "1/25" in studio("print show 2").out
