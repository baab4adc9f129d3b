"""Editions typed by hand: numerals, second editions, proof counts, prices, endings, errata, captions."""

import json
import sqlite3
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage

SIZED = "--image 40x50cm"


def dump() -> list[str]:
    """The whole catalog as SQL text."""
    with sqlite3.connect("catalog.db") as connection:
        return list(connection.iterdump())


def typed(studio: Tirage, *lines: str) -> None:
    """Type lines, each of which is done."""
    for line in lines:
        answer = studio(line)
        assert answer.status == 0, (line, answer.err)


def record(studio: Tirage, code: str) -> dict[str, object]:
    """An edition as JSON."""
    found: dict[str, object] = json.loads(studio(f"edition show {code} --json").out)[0]
    return found


# --- numerals ---------------------------------------------------------------------------------------------------------


def test_roman_proofs_read_so_everywhere(studio: Tirage) -> None:
    typed(studio, f"edition declare n1 9 --ap 5 --bat 1 --numerals roman {SIZED}", "print make e2 3")
    assert "AP II/V" in studio("sign", "7", "--as", "AP II/V", "--anyway", "x").out
    assert "AP I/V" in studio("sign 8 --as ap --anyway x").out
    assert "P-000007" in studio("print show e2:apII").out and "P-000007" in studio("print show e2:ap2").out
    assert "AP II/V" in studio("edition show e2").out and "signed as AP II/V" in studio("history e2").out
    typed(studio, "promise e2:ap4 --to Ada")
    assert "AP IV promised to Ada" in studio("history e2").out
    assert "AP III" in studio("sign", "9", "--as", "AP III", "--anyway", "x").out
    assert "1/25" in studio("sign 1").out  # the numbered run is Arabic
    assert studio("check").status == 0


def test_numerals_change_before_the_first_signed_print_only(studio: Tirage) -> None:
    typed(studio, "correct e1 numerals=roman --why slip", "sign 1 --as ap")
    assert "AP I/III" in studio("print show 1").out
    answer = studio("correct e1 numerals=arabic --why slip")
    assert answer.status == 1 and "erratum" in answer.err
    assert studio("correct e1 numerals=greek --why slip").status == 1


# --- a second edition of one image ------------------------------------------------------------------------------------

# what is typed after `edition declare n1`, beside e1: 25 numbers, whole plate, on warm12 -> words of its refusal, or ""
SECOND = {
    "the same again": ("10 --paper warm12", "the same prints twice"),
    "case and blanks of the process": (
        ("10", "--paper", "warm12", "--process", "GELATIN silver  contact print"),
        "the same prints twice",
    ),
    "within five millimetres a side": ("10 --paper warm12 --image 17x22cm", "the same prints twice"),
    "other paper": ("10", "its intended paper"),
    "other toning": ("10 --paper warm12 --toning gold", "its intended toning"),
    "signs and blanks of the process": (
        ("10", "--paper", "warm12", "--process", "Gelatin-silver  contact-print."),
        "the same prints twice",
    ),
    "an open run": ("open --paper warm12", "the same prints twice"),
    "an open run on other paper": ("open", "its intended paper"),
    "beyond five millimetres": ("10 --paper warm12 --image 17.1x22cm", ""),
    "another size": ("10 --paper warm12 --image 40x50cm", ""),
    "another process": (("10", "--paper", "warm12", "--process", "salted paper print"), ""),
}


@pytest.mark.parametrize("name", SECOND)
def test_a_second_edition(studio: Tirage, name: str) -> None:
    words, refusal = SECOND[name]
    line = ["edition", "declare", "n1", *(words.split() if isinstance(words, str) else words)]
    before = dump()
    answer = studio(*line)
    if not refusal:
        assert answer.status == 0 and "other editions: E-0001" in answer.err, answer.err
        return
    assert answer.status == 1 and "E-0001" in answer.err and refusal in answer.err
    assert dump() == before
    disclosed = studio(*line, "--disclose", "A second run, decided in 2026")
    assert disclosed.status == (1 if "twice" in refusal else 0)


def test_a_disclosure_is_told_with_both(studio: Tirage) -> None:
    said = "E-0002 is the same size, toned with gold."
    typed(studio, "sign 1")
    assert studio("edition", "declare", "n1", "9", "--toning", "gold", "--disclose", said[:-1]).status == 0
    assert said in studio("edition show e1").out and said in studio("edition show e2").out
    typed(studio, "certificate issue 1", "provenance 1")
    with sqlite3.connect("catalog.db") as connection:
        facts = json.loads(connection.execute("SELECT facts FROM certificate").fetchone()[0])
    assert facts["other_editions"][0]["disclosure"] == said and facts["edition"]["disclosure"] == ""


def test_a_correction_makes_no_second_edition(studio: Tirage) -> None:
    typed(studio, f"edition declare n1 9 --paper warm12 {SIZED}")
    before = dump()
    answer = studio("correct e2 image=16.5x21.6cm --why slip")
    assert answer.status == 1 and "the same prints twice" in answer.err
    assert dump() == before
    typed(studio, "correct e2 image=41x50cm --why slip")


def test_a_cancelled_edition_that_gave_nothing_does_not_count(studio: Tirage) -> None:
    typed(studio, "edition cancel e1 --negative kept --why unprinted", "edition declare n1 9 --paper warm12")


def test_a_cancelled_edition_that_gave_a_number_counts(studio: Tirage) -> None:
    typed(studio, "sign 1", "edition cancel e1 --negative kept --why enough")
    assert studio("edition declare n1 9 --paper warm12").status == 1


def test_plain_sql_declares_no_second_edition(studio: Tirage) -> None:
    typed(studio, "edition declare n1 9 --process albumen")
    with sqlite3.connect("catalog.db") as connection:
        connection.execute("INSERT INTO code (code, kind, serial) VALUES ('E-0003', 'edition', 3)")
        columns = "negative, title, size, image_height, image_width, process, declared, earliest, latest"
        with pytest.raises(sqlite3.IntegrityError, match="a second one is disclosed"):
            connection.execute(
                f"INSERT INTO edition (id, {columns}) SELECT (SELECT max(id) FROM code), {columns} FROM edition LIMIT 1"
            )


def test_second_editions_of_an_older_catalog_are_found(studio: Tirage) -> None:
    typed(studio, "edition declare n1 9 --process albumen")
    with sqlite3.connect("catalog.db") as connection:  # as a catalog from before disclosures holds it
        guard = connection.execute("SELECT sql FROM sqlite_schema WHERE name = 'edition_becoming_second'").fetchone()[0]
        connection.execute("DROP TRIGGER edition_becoming_second")
        connection.execute("UPDATE edition SET process = (SELECT process FROM edition LIMIT 1)")
        connection.execute(guard)
    assert "E-0002 has the image, size and process of E-0001, and no paper says so" in studio("check").out
    assert studio("edition", "erratum", "e2", "The same size as E-0001.").status == 0
    assert "no paper says so" not in studio("check").out


# --- proof counts, prices ---------------------------------------------------------------------------------------------


def test_many_proofs_are_told_and_not_refused(studio: Tirage) -> None:
    answer = studio(f"edition declare n1 25 --ap 3 --hc 1 {SIZED}")
    assert answer.status == 0 and "16 per cent" in answer.err and "no standard" in answer.err
    assert "per cent" not in studio(f"edition declare n1 25 --ap 2 --process albumen {SIZED}").err


def test_a_price_ladder(studio: Tirage) -> None:
    typed(studio, "price e1 1200EUR --from-sale 3", "sign 1-4")
    assert record(studio, "e1")["price now"] == "EUR 900.00"
    assert "then EUR 1,200.00 from sale 3" in studio("edition show e1").out
    typed(studio, "sell 1 Ada 900EUR", "consign 2 Gal", "sell 2 Bea 900EUR")  # sold, and not paid yet
    assert record(studio, "e1")["price now"] == "EUR 1,200.00"
    typed(studio, "return 2")  # that sale fell through
    assert record(studio, "e1")["price now"] == "EUR 900.00"
    history = json.loads(studio("price e1 --json").out)
    assert [(row["from sale"], row["price"]) for row in history] == [(1, "EUR 900.00"), (3, "EUR 1,200.00")]
    assert "Now EUR 900.00, 1 sold; EUR 1,200.00 from sale 3" in studio("price e1").out
    typed(studio, "price e1 1000EUR")  # the newest that holds
    assert record(studio, "e1")["price now"] == "EUR 1,000.00"


def test_a_price_of_long_ago_told_late_is_no_news(studio: Tirage) -> None:
    typed(studio, "price e1 1000EUR --on 2026-03-20")
    told = studio("price e1 700EUR --on 2026-03-10")
    assert told.status == 0 and "now EUR 1,000.00" in told.out
    assert record(studio, "e1")["price now"] == "EUR 1,000.00"
    assert [row["price"] for row in json.loads(studio("price e1 --json").out)] == [
        "EUR 900.00",
        "EUR 700.00",
        "EUR 1,000.00",
    ]


def test_the_step_that_was_reached_holds_and_is_the_one_that_changes(studio: Tirage) -> None:
    typed(studio, "price e1 1200EUR --from-sale 2", "sign 1-2", "sell 1 Ada 900EUR")
    typed(studio, "price e1 800EUR --from-sale 1")  # of the step below: the sales that were
    assert record(studio, "e1")["price now"] == "EUR 1,200.00"
    assert "from sale 2 on" in studio("price e1 1500EUR").out
    assert record(studio, "e1")["price now"] == "EUR 1,500.00"


def test_a_replaced_print_is_sold_once(studio: Tirage) -> None:
    typed(studio, "sign 1", "sell 1 Ada 900EUR", "destroy 1 --why flood", "replace 1 2", "sell 2 Ada 0EUR")
    assert record(studio, "e1")["sold"] == 1


def test_unsold_says_what_where_and_for_how_much(studio: Tirage) -> None:
    typed(studio, "sign 1-4", "place add studio/drawer", "move 1 studio/drawer", "sell 2 Ada 900EUR")
    typed(studio, "consign 3 Gal --until 2028-03 --price 1100EUR", "promise e1:9 --to Bea --until 2028")
    found = {row["number"]: row for row in json.loads(studio("unsold e1 --json").out)}
    assert "2/25" not in found and len(found) == 24
    assert (found["1/25"]["where"], found["1/25"]["price"]) == ("studio/drawer", "EUR 900.00")
    assert (found["3/25"]["where"], found["3/25"]["until"]) == ("Gal", "2028-03")
    assert (found["3/25"]["standing"], found["3/25"]["price"]) == ("consigned", "EUR 1,100.00")
    assert found["9/25"]["standing"] == "promised to Bea"
    text = studio("unsold").out
    assert "10/25 to 25/25" in text and "not given yet" in text
    assert studio("unsold e1 --csv").out.startswith("edition,number,print,standing,where,until,price")


def test_unsold_names_proofs_and_unique_prints_and_not_what_is_kept(studio: Tirage) -> None:
    typed(studio, "sign 1-2", "sign 3 --as ap", "keep 2", 'negative add "Weir" --made 2026', "print make n2 1")
    typed(studio, "print designate 7 unique", "promise e1:1 --to Bea")
    found = {row["print"]: row for row in json.loads(studio("unsold --json").out) if row["print"]}
    assert list(found) == [f"P-{number:06d}" for number in (1, 3, 7)]
    assert {code[-1]: (row["number"], row["standing"], row["price"]) for code, row in found.items()} == {
        "1": ("1/25", "signed, promised to Bea", "EUR 900.00"),
        "3": ("AP 1/3", "signed", ""),
        "7": ("unique print", "printed", ""),
    }
    assert "P-000007" not in studio("unsold e1").out


# --- counters ---------------------------------------------------------------------------------------------------------


def test_two_counters(studio: Tirage) -> None:
    typed(studio, f"edition declare n1 9 --ap 2 --process albumen {SIZED}", "print make e2 2")
    typed(studio, "sign 1-3", "sign 4 --as ap", "sign 7-8 --anyway x", "destroy 1 --why torn", "replace 1 5")
    shown = studio("edition show e1").out
    assert "3 of 25 numbers given, 3 signed; proofs given: AP 1 of 3" in shown
    whole = "7 signed and numbered over 2 editions: 6 numbered, 1 proof; 1 of them destroyed"
    assert whole in shown and whole in studio("edition show e2").out and whole in studio("negative show n1").out
    assert record(studio, "e2")["image signed and numbered"] == {
        "numbered": 6,
        "proofs": 1,
        "destroyed": 1,
        "editions": 2,
    }


# --- endings ----------------------------------------------------------------------------------------------------------


def test_a_cancelled_edition_with_its_plate_marked(studio: Tirage) -> None:
    typed(
        studio,
        f"edition declare n1 5 --ap 1 --cp 1 --process albumen {SIZED} --on 2026-03-30",
        "print make e2 3 --on 2026-04-01",
        "sign 7-8 --on 2026-04-02 --anyway x",
    )
    over = ("edition", "cancel", "e2", "--negative", "marked", "--why", "the run is over", "--on")
    blocked = studio(*over, "2026-05-01")
    assert blocked.status == 1 and "E-0001 can still be printed" in blocked.err
    typed(studio, "sign 1-6 --on 2026-04-02", "edition close e1 --on 2026-04-03")
    assert "P-000007 was signed 2 April 2026, after that day" in studio(*over, "2026-04-01").err
    done = studio(*over, "2026-05-01")
    assert done.status == 0 and "4 numbers and proofs are void; N-0001 is marked" in done.out, done.err
    assert "cancelled 1 May 2026, the negative marked: the run is over" in studio("edition show e2").out
    assert "edition cancelled, the negative marked: the run is over" in studio("history e2").out
    assert "cancelled: the run is over" in studio("history n1").out
    assert "work print" in studio("print show 9").out
    for line in (
        "print make n1 --on 2026-06-01",
        "print make e2 --on 2026-04-01",
        "sign 9 --anyway x",
        "sign 9 --edition e1 --anyway x",  # of another size
        "promise e2:4 --to Ada",
        "edition cancel e2 --negative kept --why again",
    ):
        assert studio(line).status == 1, line
    made = studio("print make e2 --cancellation --on 2026-05-02")
    assert made.status == 0 and not made.err
    assert "CP" in studio("sign last --on 2026-05-03 --anyway x").out
    assert studio("check").status == 0


def test_a_promise_blocks_a_cancellation(studio: Tirage) -> None:
    typed(studio, "promise e1:4 --to Ada")
    answer = studio("edition cancel e1 --negative kept --why over")
    assert answer.status == 1 and "4 is promised to Ada" in answer.err and "promise E-0001:4 --withdraw" in answer.err
    typed(studio, "promise e1:4 --withdraw", "edition cancel e1 --negative kept --why over")
    assert studio("edition cancel e1 --negative kept --why over").status == 1


FATES = {
    "kept": "in process",
    "retired": "retired",
    "marked": "cancelled",
    "broken": "broken",
    "destroyed": "destroyed",
    "deposited": "deposited",
}


@pytest.mark.parametrize("fate", FATES)
def test_the_fate_of_the_negative(studio: Tirage, fate: str) -> None:
    before = dump()
    typed(studio, f"edition cancel e1 --negative {fate} --why over")
    with sqlite3.connect("catalog.db") as connection:
        assert connection.execute("SELECT state FROM negative").fetchone()[0] == FATES[fate]
        assert connection.execute("SELECT fate FROM edition_event").fetchone()[0] == fate
    typed(studio, "undo")
    kept = [line for line in before if "journal" not in line]
    assert [line for line in dump() if "journal" not in line] == kept


def test_a_broken_plate_is_not_said_to_be_kept(studio: Tirage) -> None:
    typed(studio, "negative state n1 broken")
    answer = studio("edition cancel e1 --negative kept --why over")
    assert answer.status == 1 and "--negative broken" in answer.err
    typed(studio, "edition cancel e1 --negative broken --why over")


def test_complete_means_that_all_are_given(studio: Tirage) -> None:
    typed(studio, "sign 1-6")
    answer = studio("edition close e1 --at-number 25")
    assert answer.status == 1 and "19 of its 25 numbers are not given yet" in answer.err
    typed(studio, "edition close e1 --on 2026-05-02 --note enough")
    assert "closed early 2 May 2026: enough" in studio("edition show e1").out
    assert "edition closed early at 6: enough" in studio("history e1").out
    typed(studio, f"edition declare n1 1 {SIZED}", "print make e2 1", "sign 7 --anyway x", "edition close e2")
    assert record(studio, "e2")["state"] == "complete"


# --- errata and captions ----------------------------------------------------------------------------------------------


def test_an_erratum_is_printed_with_the_edition(studio: Tirage) -> None:
    typed(studio, "sign 1")
    assert studio("edition", "erratum", "e1", "The sheet is 24 x 30 cm, not 30 x 24 cm").status == 0
    assert studio("edition", "erratum", "e1", " ").status == 1
    assert "Erratum: The sheet is 24 x 30 cm, not 30 x 24 cm." in studio("edition show e1").out
    assert "erratum: The sheet" in studio("history e1").out
    typed(studio, "certificate issue 1")
    with sqlite3.connect("catalog.db") as connection:
        facts = json.loads(connection.execute("SELECT facts FROM certificate").fetchone()[0])
    assert facts["edition"]["errata"] == ["The sheet is 24 x 30 cm, not 30 x 24 cm."]
    assert facts["print"]["word"] == "vintage print" and facts["edition"]["total"] == 28


def test_captions(studio: Tirage) -> None:
    typed(studio, "bath mix toner selenium --on 2026-03-07", "tone 1 selenium 2m --on 2026-03-08", "sign 1 --anyway x")
    line = (
        "Žofie Đurđević, Low water, negative 2026, printed 2026 (vintage print), gelatin silver contact print, "
        "selenium-toned, 16.5 × 21.6 cm, 1/25"
    )
    assert studio("caption 1").out.strip() == line
    assert studio("caption 1-3").out.splitlines()[1].endswith("16.5 × 21.6 cm")  # no designation yet
    found = json.loads(studio("caption 1 --json").out)[0]
    assert found["caption"] == line and found["designation"] == "1/25"
    Path("settings.toml").write_text('units = "imperial"\n', encoding="utf-8")
    assert "6½ × 8½ in" in studio("caption 1").out
    assert "©" not in studio("caption 1").out
