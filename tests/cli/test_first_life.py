"""Editions and prints over a whole life, as a new user types them: order of days, words, titles, prices, the death."""

import json
import sqlite3

import pytest

from tests.cli.conftest import Answer, Tirage


@pytest.fixture
def tal(tirage: Tirage, tmp_path, monkeypatch) -> Tirage:  # type: ignore[no-untyped-def]
    """A plate of 2015, an edition of 8 and 2 proofs of 2016, ten prints, the first six signed."""
    assert tirage("init", "s", "--artist", "Eva Mond", "--born", "1960").status == 0
    monkeypatch.chdir(tmp_path / "s")
    done(
        tirage,
        "paper add w paper",
        "negative add Tal --made 2015 --size 13x18cm --state ready",
        "edition declare n1 8 --ap 2 --price 500EUR --on 2016",
        "print make e1 10 --paper w --on 2016",
        "sign 1-6 --on 2016-05",
    )
    return tirage


def done(typed: Tirage, *lines: str) -> Answer:
    """Type lines, each of which is done; the last answer."""
    for line in lines:
        answer = typed(line)
        assert answer.status == 0, (line, answer.err)
    return answer


def refused(typed: Tirage, line: str, *words: str) -> None:
    """Type a line that is refused with these words."""
    answer = typed(line)
    assert answer.status == 1 and all(word in answer.err for word in words), (line, answer)


# --- replacement ------------------------------------------------------------------------------------------------------


def test_a_number_passes_after_the_destruction_only(tal: Tirage) -> None:
    done(tal, "destroy 3 --why torn --on 2020-06")
    refused(tal, "replace 3 8 --on 2019", "P-000003 was destroyed June 2020, after 2019")
    with sqlite3.connect("catalog.db") as plain, pytest.raises(sqlite3.IntegrityError, match="destroyed"):
        plain.execute(
            "UPDATE print SET kind = 'numbered', number = 3, signed = '2019', signed_earliest = '2019-01-01', "
            "replaces = (SELECT id FROM code WHERE code = 'P-000003') "
            "WHERE id = (SELECT id FROM code WHERE code = 'P-000008')"
        )
    done(tal, "replace 3 8 --on 2020")
    assert "replaces P-000003, which was destroyed" in tal("history 8").out
    assert "passed to P-000008" in tal("history 3").out
    refused(tal, "correct 8 signed=2019 --why slip", "it replaces P-000003, which was destroyed June 2020")


# --- unique -----------------------------------------------------------------------------------------------------------


def test_nothing_is_unique_beside_an_edition(tal: Tirage) -> None:
    refused(tal, "print designate 9 unique", "P-000009 is not unique: E-0001")
    done(tal, "print make n1 1 --on 2016")
    refused(tal, "print designate 11 unique", "P-000011 is not unique: E-0001")
    with sqlite3.connect("catalog.db") as plain, pytest.raises(sqlite3.IntegrityError, match="not unique"):
        plain.execute("UPDATE print SET kind = 'unique' WHERE kind = 'work'")


def test_no_edition_beside_a_unique_print(tal: Tirage) -> None:
    done(tal, "negative add Berg --made 2015 --state ready", "print make n2 1 --on 2016")
    assert "P-000011 is a unique print." in done(tal, "print designate 11 unique").out
    refused(tal, "edition declare n2 5", "P-000011 is called unique", "designation=work --why REASON")
    refused(tal, "correct 11 designation=4 --why slip", "work or reference")
    done(tal, "correct 11 designation=work --why slip", "edition declare n2 5")
    done(tal, "print designate 11 4 --edition e2")
    assert tal("check").status == 0


def test_a_unique_print_that_is_out_stays_so(tal: Tirage) -> None:
    done(tal, "negative add Berg --made 2015 --state ready", "print make n2 1 --on 2016", "print designate 11 unique")
    done(tal, "sign 11 --anyway x", "sell 11 Ada 900EUR")
    refused(tal, "correct 11 designation=work --why slip", "changed hands")
    refused(tal, "edition declare n2 5", "unique")


# --- titles and corrections -------------------------------------------------------------------------------------------


def test_editions_follow_the_title_of_their_negative(tal: Tirage) -> None:
    done(tal, "certificate issue 1 --anyway x", "edition declare n1 3 --title Other --image 30x40cm --process albumen")
    answer = tal("correct", "n1", "title=Tal, dawn", "--why", "slip")
    assert "title was “Tal”, is now “Tal, dawn”. So is that of E-0001." in answer.out
    assert "C-0001 bears the old title" in answer.err
    titles = [row["title"] for row in json.loads(tal("edition list --json").out)]
    assert titles == ["Tal, dawn", "Other"]
    assert "title corrected from “Tal” to “Tal, dawn”" in tal("history e1").out
    done(tal, "undo")
    assert "So is" not in tal("correct e2 title=Third --why slip").out


CORRECTED = {
    "a date is told in English": ("n1 made=1966~", "date was “2015”, is now “c. 1966”"),
    "a signature has its noun": ("1 signed=2016-07 --on 2017", "date of signing was “May 2016”, is now “July 2016”"),
}


@pytest.mark.parametrize("name", CORRECTED)
def test_corrections_in_words(tal: Tirage, name: str) -> None:
    line, words = CORRECTED[name]
    code, value, *rest = line.split()
    assert words in done(tal, f"correct {code} {value} --why slip {' '.join(rest)}").out
    assert words.split("”")[0].split("“")[1] in tal(f"history {code}").out


def test_a_print_is_not_of_a_day_after_its_steps(tal: Tirage) -> None:
    done(tal, "bath mix fixer hypo --on 2016", "fix 10 3m --on 2016")
    refused(tal, "correct 10 made=2017 --why slip", "The date of P-000010", "“fix” (S-000001) was 2016")
    refused(tal, "correct 1 signed=2012 --why slip", "The date of signing of P-000001")


# --- prices -----------------------------------------------------------------------------------------------------------


def test_a_sale_told_late_takes_the_price_of_its_day(tal: Tirage) -> None:
    done(tal, "price e1 800EUR --on 2020")
    assert "EUR 500.00 (the price of E-0001 as of May 2018)" in done(tal, "sell 1 Ada --on 2018-05 --anyway x").out
    assert "EUR 800.00 (the price of E-0001 as of 2021)" in done(tal, "sell 2 Ada --on 2021 --anyway x").out
    assert "EUR 800.00 (the price of E-0001 now)" in done(tal, "sell 3 Ada --anyway x").out
    done(tal, "edition declare n1 3 --image 40x50cm --process albumen --on 2016", "price e2 90EUR --on 2020")
    done(tal, "print make e2 1 --on 2016", "sign 11 --on 2016 --anyway x")
    assert "No price was given" in done(tal, "sell 11 Ada --on 2018 --anyway x").err


# --- the estate -------------------------------------------------------------------------------------------------------


def test_after_the_death_nothing_is_offered_that_is_given_to_nobody(tal: Tirage) -> None:
    assert "7/8 to 8/8" in tal("unsold e1").out
    tal("party", "died", "Eva Mond", "2022-03-04")
    answer = tal("unsold e1")
    assert "not given yet" not in answer.out and "2 numbers were never given" in answer.err
    assert "4 March 2022" in answer.err
    waiting = tal("due").out
    assert "4 prints of E-0001 “Tal” were printed in the artist's life and never signed; they cannot" in waiting
    assert "wait to be signed" not in waiting and "tirage print designate 7-10 reference" in waiting
    done(tal, "print designate 7-10 reference")
    assert "never signed" not in tal("due").out
    done(tal, "edition declare n1 3 --estate --image 30x40cm --on 2023")
    assert [row["estate"] for row in json.loads(tal("edition list --json").out)] == ["", "yes"]
    assert "(open, of the estate)" in tal("edition show e1").out and "of the estate  yes" in tal("edition show e2").out


# --- plates -----------------------------------------------------------------------------------------------------------


def test_no_edition_of_a_plate_that_is_gone(tal: Tirage) -> None:
    done(tal, "negative add Berg --made 2015 --state ready", "negative state n2 broken --on 2018-02")
    refused(tal, "edition declare n2 5 --on 2019", "N-0002", "broken since February 2018")
    done(tal, "edition declare n2 5 --on 2017")


def test_a_plate_that_is_lent_out_prints_nothing_here(tal: Tirage) -> None:
    done(tal, "negative state n1 retired --on 2017", "lend n1 Museum --on 2018-01-05")
    assert "N-0001 was with Museum that day" in done(tal, "print make e1 1 --on 2019").err
    assert "Museum" not in done(tal, "print make e1 1 --on 2017-06").err


def test_an_edition_is_cancelled_after_it_was_closed(tal: Tirage) -> None:
    done(tal, "edition close e1 --on 2020-03")
    refused(tal, "edition cancel e1 --negative kept --why over --on 2019", "closed early March 2020, after that day")
    with sqlite3.connect("catalog.db") as plain, pytest.raises(sqlite3.IntegrityError, match="ends once"):
        plain.execute(
            "INSERT INTO edition_event (edition, state, fate, happened, earliest, latest, by) "
            "SELECT id, 'cancelled', 'kept', '2019', '2019-01-01', '2019-12-31', 'x' FROM edition"
        )


# --- undo, words ------------------------------------------------------------------------------------------------------


def test_undo_says_what_it_took_back(tal: Tirage) -> None:
    done(tal, "sell 1 Ada 500EUR", "paid 1")
    answer = done(tal, "undo").out
    assert "Taken back: paid 1 (P-000001 paid by Ada), of " in answer and ", by tester." in answer
    assert "Taken back: sell 1 (P-000001 sold by Eva Mond to Ada, EUR 500.00)" in done(tal, "undo").out
    assert "Taken back: sign 1-6, of" in done(tal, "undo").out


# what is refused -> words of its sentence
SAID = {
    "sign 7-9": ("E-0001 has 2 free numbers, and 3 prints ask for one",),
    "sign 7-9 --as ap": ("E-0001 has 2 free artist's proofs, and 3 prints ask",),
    "print designate 7-9 ap": ("E-0001 has 2 free artist's proofs",),
    "sign 1": ("P-000001 was not signed: it was signed May 2016 as 1/8 already",),
    "promise e1:ap1 --withdraw": ("AP 1 of E-0001 is promised to nobody", "nothing to withdraw"),
    "promise e1:9 --to Ada": ("9 of E-0001 cannot be promised",),
    "edition close e1 --at-number 3": ("it can close at a number from 6 (the highest given or promised) to 8",),
    "print designate 1 2": ("it is 1/8 already",),
}


@pytest.mark.parametrize("line", SAID)
def test_words_of_refusals(tal: Tirage, line: str) -> None:
    refused(tal, line, *SAID[line])


def test_the_last_number_closes_nothing_early(tal: Tirage) -> None:
    done(tal, "sign 7-8")
    refused(tal, "edition close e1 --at-number 3", "its last number, 8, is given or promised")


def test_a_promise_is_withdrawn_from_whom_it_was_made_to(tal: Tirage) -> None:
    done(tal, "promise e1:ap1 --to Ada", "party add Bea")
    refused(tal, "promise e1:ap1 Bea --withdraw", "AP 1 of E-0001 is promised to Ada")
    done(tal, "promise e1:ap1 Ada --withdraw")


def test_given_by_the_studio_stays_given(tal: Tirage) -> None:
    done(tal, "give 1 Ada", "sell 2 Ada 500EUR --paid", "sell 1 Cleo --from Ada", "give 2 Cleo --from Ada")
    shown = {row["number"]: row["standing"] for row in json.loads(tal("edition show e1 --json").out)[0]["map"]}
    assert (shown["1/8"], shown["2/8"]) == ("given", "sold")


def test_a_destroyed_print_has_a_certificate_that_stands(tal: Tirage) -> None:
    done(tal, "certificate issue 6 --anyway x")
    answer = done(tal, "destroy 6 --why torn")
    assert "C-0001 of P-000006 stands" in answer.err and "tirage certificate revoke C-0001" in answer.err
    assert done(tal, "caption 6").out.rstrip().endswith("6/8, destroyed")


def test_tables_for_people_and_for_programs(tal: Tirage) -> None:
    done(tal, "negative add Berg --made 1966~ --state ready", "print make n1 1 --on 2016-11-25")
    assert "c. 1966" in tal("negative list").out and "1966~" in tal("negative list --json").out
    assert "25 November 2016" in tal("print list n1").out and "2016-11-25" in tal("print list n1 --csv").out
    assert "gelatin silver contact print" in tal("caption 11").out


def test_a_second_print_of_an_image_is_not_unique(tal: Tirage) -> None:
    done(tal, "negative add Berg --made 2015", "print make n2 2 --on 2021", "sign 11 --as unique --on 2021-02")
    refused(tal, "sign 12 --as unique --on 2021-02", "P-000011 of the same image is called so")


def test_a_lost_plate_is_told(tal: Tirage) -> None:
    done(tal, "negative state n1 lost --on 2024")
    assert "N-0001 is lost" in tal("print make e1 1 --on 2024-06").err


def test_of_a_plate_that_is_gone_nothing_more_is_to_be_had(tal: Tirage) -> None:
    assert "not given yet" in done(tal, "unsold e1").out
    done(tal, "negative state n1 broken --on 2024")
    assert "not given yet" not in done(tal, "unsold e1").out


def test_a_corrected_day_of_signing_moves_the_line_that_tells_it(tal: Tirage) -> None:
    done(tal, "correct 3 signed=2016-06 --why typo")
    told = done(tal, "history 3").out
    assert any(line.startswith("June 2016") and "3/8" in line for line in told.splitlines())


def test_an_edition_shown_with_its_negative_is_said_to_be(tal: Tirage) -> None:
    done(tal, "shown n1")
    assert "shown with its negative" in done(tal, "edition show e1").out


def test_a_contact_print_is_no_larger_than_its_plate(tal: Tirage) -> None:
    assert "a contact print is as large as its plate" in tal("edition declare n1 3 --image 40x50cm --on 2016").err


def test_what_a_finder_holds_is_not_consigned(tal: Tirage) -> None:
    done(tal, "lost 2 --stolen --on 2018")
    done(tal, "found 2 Police --on 2019")
    assert "consigned" not in done(tal, "where 2").out and "elsewhere" in done(tal, "unsold e1").out
