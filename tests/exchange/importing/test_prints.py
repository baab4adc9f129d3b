"""Prints brought in from an old list: they take the numbers that they bear, and every command knows it."""

import json
import random
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import Listed

NONE = "No print yet, or none that fits."


def test_the_map_shows_the_numbers_that_were_given(brought_in: Tirage) -> None:
    shown = brought_in("edition show e1").out
    lines = [" ".join(line.split()) for line in shown.splitlines()]
    for line in (
        "1/25 sold P-000001",
        "2/25 sold P-000002",
        "3/25 consigned P-000003",
        "4/25 free",
        "5/25 destroyed P-000006",
        "7/25 signed P-000004",
        "12/25 signed P-000005",
        "13/25 to 25/25 free",
        "AP 1/3 sold P-000007",
    ):
        assert line in lines, shown
    assert "E-0003" in brought_in("print show 11").out and "open edition" in brought_in("print show 11").out


def test_the_next_signature_skips_what_was_given(brought_in: Tirage) -> None:
    assert brought_in("print make e1 6").status == 0
    signed = brought_in("sign 13-18").out
    given = [line.split(": ")[1].split(",")[0] for line in signed.splitlines() if line.startswith("P-")]
    assert given == ["4/25", "6/25", "8/25", "9/25", "10/25", "11/25"]
    brought_in("print make e1 1")
    assert "P-000019: 13/25" in brought_in("sign 19").out
    assert brought_in("print make e1 1").status == 0
    assert "AP 1" in brought_in("sign", "20", "--as", "AP1").err  # held by the museum's


def test_provenance_reads_right(brought_in: Tirage) -> None:
    def text(code: str) -> str:
        return str(json.loads(brought_in("provenance", code, "--private", "--json").out)[0]["text"])

    origin = "Printed by A. Example [1941–], the artist, Port Example, 1998; "
    # A price in a currency that is no more is no amount here: its cell is kept as note.
    assert text("1") == f"{origin}purchased by A. Collector, 2 April 1999."
    assert text("2") == f"{origin}(North Gallery, consigned by 2004); purchased by B. Waiting, 2004 (for EUR 450)."
    assert text("6").endswith("the artist, Port Example, 1999; destroyed, 2010.")
    assert text("7") == f"{origin}purchased by Harbour Museum, October 2006."


def test_what_is_owed_where_it_is_and_what_is_left(brought_in: Tirage) -> None:
    owed = json.loads(brought_in("owed", "--json").out)
    assert [(one["code"], one["by"], one["owed"]) for one in owed] == [("P-000009", "C. Buyer", "EUR 1,200.00")]
    assert "studio/rack 2/box 4" in brought_in("where 4").out
    assert "North Gallery" in brought_in("where 3").out
    left = json.loads(brought_in("unsold e1 --json").out)
    assert [one["number"] for one in left][:2] == ["3/25", "4/25"]
    told = brought_in("unsold e1").out
    assert "8/25 to 11/25" in told and "13/25 to 25/25" in told and "4/25 to" not in told
    assert brought_in("check").status == 0, brought_in("check").out


def test_what_is_not_understood_is_told_and_kept(with_editions: Tirage) -> None:
    told = with_editions("import prints studio_prints.csv").out
    for words in ("matt card stock", "DEM 900.00", "Old certificate  kept as notes", "signed in ink"):
        assert words in told
    assert "numbers 4, 6, 8 to 11 of E-0001 stand in no row" in told
    assert "taken as paid" in told and "New parties, private" in told
    assert with_editions("print list").out.strip() == NONE  # a dry run changes nothing


def test_the_same_list_again_adds_nothing_and_undo_takes_it_back(brought_in: Tirage) -> None:
    assert brought_in("import prints studio_prints.csv --apply").status == 0
    assert len(json.loads(brought_in("print list --json").out)) == 12
    assert brought_in("undo").status == 0
    assert brought_in("print list").out.strip() == NONE
    assert brought_in("check").status == 0


HEADINGS = "Edition|Negative|No|Of|Kind|Printed|Signed|Buyer|Sold|Price|Gallery|Status|Code"
REFUSED = (
    # row, the column it is told of, words of the reason
    ("E-0001|||||||||||", "", "", "P-000001"),
    ("E-0001||3/24||||||||||", "No", "of 24, and E-0001 declares 25", ""),
    ("E-0001||26/25||||||||||", "No", "has a number above its count", ""),
    ("E-0001||26||||||||||", "", "goes from 1 to 25", ""),
    ("E-0001||AP 2/5||||||||||", "No", "it is of 5, and E-0001 declares 3 artist's proofs", ""),
    ("E-0001||HC 1||||||||||", "No", "E-0001 declares no", ""),
    ("E-0001||AP||||||||||", "No", "which of them this is", ""),
    ("E-0001||PP||||||||||", "", "", "PP"),
    ("E-0003||2/25||||||||||", "No", "is open and has no numbers", ""),
    ("E-0001|Ropewalk|2/25||||||||||", "Negative", "is no edition of N-0003", ""),
    ("Nothing such||2/25||||||||||", "Edition", "There is no edition", ""),
    ("|Harbour wall|2/25||||||||||", "Negative", "has no edition of 25", ""),
    ("||2/25||||||||||", "Edition", "neither its edition nor its negative is named", ""),
    ("E-0001||two||||||||||", "No", "is not understood as the mark of a print", ""),
    ("E-0001||2/25|||1997|||||||", "", "was made 1998, and no print of it can be of 1997. Mend the row.", ""),
    ("E-0001||2/25|||2000|1999||||||", "", "was printed 2000", ""),
    ("E-0001||2/25||||2001|A. Buyer|2000||||", "", "was signed 2001", ""),
    ("|Harbour wall|unique||||||||||", "", "", "unique print"),
    ("|Low water|unique||||||||||", "", "is not unique", ""),
    ("E-0001||2/25||||||||||12-24-99.", "", "", "2/25"),
    # the column “Edition” of many lists holds a size, or the number itself
    ("25|Low water|2||||||||||", "", "", "2/25"),
    ("3/25|Low water|||||||||||", "", "", "3/25"),
    ("E-0001||2||AP||||||||", "", "", "AP 2/3"),
    ("E-0001||II/III||EA||||||||", "", "", "AP 2/3"),
    ("E-0001||2|25|AP||||||||", "", "", "AP 2/3"),
    ("|Low water|2|25|||||||||", "", "", "2/25"),
    ("|Low water|2|10|||||||||", "Negative", "has no edition of 10", ""),
    ("E-0001||3/25||AP||||||||", "No", "it is of 25, and E-0001 declares 3 artist's proofs", ""),
    ("E-0001||2/25|||||||||sold|", "", "", "Unknown party, sale"),
    ("E-0001||2/25|||||B. Friend||||gift|", "", "", "B. Friend, gift"),
    ("E-0001||2/25||||||no|||sold|", "Status", "not sold in the column beside", ""),
    ("E-0001||2/25|||||||800 EUR|North Gallery||", "", "", "North Gallery on consignment at EUR 800.00"),
    ("E-0001||2/25|||||B. Friend|no||||", "Sold", "an owner is named in the column beside", ""),
    ("E-0001||?/25|||||||||signed", "", "", "not yet designated"),
)


@pytest.mark.parametrize(("row", "column", "reason", "called"), REFUSED)
def test_rows_are_taken_or_refused_with_their_column(
    with_editions: Tirage, listed: Listed, row: str, column: str, reason: str, called: str
) -> None:
    answer = with_editions("import", "prints", listed(HEADINGS, row))
    if called:
        assert answer.status == 0 and called in answer.out.partition("To be added:")[2], answer.out + answer.err
    else:
        assert answer.status == 1 and reason in answer.out, answer.out
        assert column in answer.out.partition("Refused:")[2]


def test_a_number_in_two_rows_is_refused_in_both(with_editions: Tirage, listed: Listed) -> None:
    rows = ("E-0001|3/25", "Low water|4/25", "Low water|3", "E-0001|5/25")
    answer = with_editions("import", "prints", listed("Edition|No", *rows))
    assert answer.status == 1
    assert "3 of E-0001 stands in row 4 too" in answer.out and "3 of E-0001 stands in row 2 too" in answer.out


def test_a_number_that_is_held_or_void_is_refused(with_editions: Tirage, listed: Listed) -> None:
    with_editions("print make e1 1 --on 2026-02-01")
    with_editions("sign 1")
    answer = with_editions("import", "prints", listed("Edition|No", "E-0001|1/25"), "--apply")
    assert answer.status == 1 and "1 of E-0001 cannot be given: it is given already" in answer.out
    with_editions("edition", "cancel", "e2", "--why", "done", "--negative", "kept")
    answer = with_editions("import", "prints", listed("Edition|No", "E-0002|1/10"), "--apply")
    assert answer.status == 1 and "E-0002 is cancelled" in answer.out


def test_a_likely_slip_in_a_name_is_refused_and_mended_by_the_mapping(with_editions: Tirage, listed: Listed) -> None:
    rows = ("E-0001|1/25|yes|North Gallery", "E-0001|2/25|yes|North Galery", "E-0001|4/25|yes|north gallery")
    name = listed("Edition|No|Signed|Gallery", *rows)
    answer = with_editions("import", "prints", name)
    assert answer.status == 1 and "Did you mean North Gallery?" in answer.out
    mapping = Path(f"{name}.mapping.toml")
    assert "North Galery" in mapping.read_text()
    text = mapping.read_text()
    head, _, tail = text.partition("[parties]")
    lines = [line for line in tail.splitlines() if "Galery" not in line]
    mapping.write_text(f'{head}[parties]\n"North Galery" = "North Gallery"\n' + "\n".join(lines))
    answer = with_editions("import", "prints", name, "--apply")
    assert answer.status == 0, answer.out + answer.err
    assert [one["name"] for one in json.loads(with_editions("party list --json").out)].count("North Gallery") == 1


def test_after_a_death_only_what_was_signed_before_is_taken(with_editions: Tirage, listed: Listed) -> None:
    assert with_editions("party", "died", "A. Example", "2012-03-04").status == 0
    refused = with_editions("import", "prints", listed("Edition|No|Signed", "E-0001|1/25|2013", "E-0001|2/25|"))
    assert refused.status == 1 and "A. Example died 4 March 2012" in refused.out
    taken = with_editions(
        "import", "prints", listed("Edition|No|Signed", "E-0001|1/25|2011", "E-0001|2/25|yes"), "--apply"
    )
    assert taken.status == 0, taken.out
    # Signed some day: no later than the death.
    assert "4 March 2012 or earlier" in with_editions("print show 2").out
    assert with_editions("check").status == 0


def test_of_a_broken_plate_only_earlier_prints_are_taken(with_editions: Tirage, listed: Listed) -> None:
    with_editions("negative state n1 broken --on 2010-06-01")
    refused = with_editions("import", "prints", listed("Edition|No|Printed", "E-0001|1/25|2011"))
    assert refused.status == 1 and "N-0001 is broken since 1 June 2010" in refused.out
    taken = with_editions(
        "import", "prints", listed("Edition|No|Printed", "E-0001|1/25|2009", "E-0001|2/25|"), "--apply"
    )
    assert taken.status == 0, taken.out
    assert "1 June 2010 or earlier" in with_editions("print show 2").out


def test_undesignated_prints_stay_so_and_are_never_spotted(brought_in: Tirage) -> None:
    assert "not yet designated" in brought_in("print show 12").out
    assert brought_in("test k1 hypo none").status == 1
    refused = brought_in("test 12 hypo none")
    assert refused.status == 1 and "never spotted" in refused.err
    assert brought_in("print designate 12 reference").status == 0


def test_gifts_payments_and_unknown_buyers(with_editions: Tirage, listed: Listed) -> None:
    name = listed(
        "Edition|No|Signed|Buyer|Sold|How|Price|Paid|Gallery",
        "E-0001|1/25|1999|B. Friend|2001|gift||||",
        "E-0001|2/25|1999||2001|||||",
        "E-0001|3/25|1999|D. Debtor|2001||500 EUR|no|",
        "E-0001|4/25|1999|E. Other?|||500 EUR|2003|North Gallery",
    )
    answer = with_editions("import", "prints", name, "--apply")
    assert answer.status == 0, answer.out
    text = [
        json.loads(with_editions("provenance", str(number), "--private", "--json").out)[0]["text"]
        for number in range(1, 5)
    ]
    assert "gift to B. Friend, 2001." in text[0]
    assert "purchased by Unknown party, 2001." in text[1]
    assert "purchased by D. Debtor, 2001 (for EUR 500)." in text[2]
    assert "E. Other?" in text[3] and "North Gallery" in text[3]
    assert [one["code"] for one in json.loads(with_editions("owed --json").out)] == ["P-000003"]
    assert with_editions("check").status == 0


def test_sizes_inscriptions_and_what_else_a_row_says(with_editions: Tirage, listed: Listed) -> None:
    name = listed(
        "Edition|No|Code|Image size|Sheet size|Printed by|Supervised by|Inscription|Mount|Paper|Notes",
        "E-0001|1/25|LW-1|18x24cm|24x30cm|K. Printer|A. Example|1/25 A. Ex. 98|dry-mounted|warm12|a first one",
        "E-0001|2/25|LW-2|30x40cm|||||||",
    )
    refused = with_editions("import", "prints", name)
    assert refused.status == 1 and "its size differs from that of E-0001" in refused.out
    shown = with_editions("import", "prints", name, "--apply", "--leave-refused")
    assert "Added 1 print" in shown.out, shown.out + shown.err
    for words in ("LW-1", "K. Printer", "“1/25 A. Ex. 98”\n", "dry-mounted", "warm-tone fibre-base", "a first one"):
        assert words in with_editions("print show LW-1").out + "\n", words


def test_any_order_of_a_long_list_gives_the_same_register(with_editions: Tirage, listed: Listed) -> None:
    rows = [f"E-0001|{number}/25" for number in range(1, 26)] + [f"E-0001|AP {number}/3" for number in range(1, 4)]
    random.Random(5).shuffle(rows)
    assert with_editions("import", "prints", listed("Edition|No", *rows), "--apply").status == 0
    shown = json.loads(with_editions("print list --json").out)
    assert sorted(one["designation"] for one in shown) == sorted(row.split("|")[1] for row in rows)
    with_editions("print make e1 1")
    assert "all are given" in with_editions("sign 29").err


def test_a_plate_gives_its_size_to_contact_prints_only(with_editions: Tirage, listed: Listed) -> None:
    """A list of before the catalog says no image size: its print may well be an enlargement."""
    with_editions("negative add Pier --made 1990 --size 9x12cm --on 2026-01-05")
    rows = ("Pier|5|1991|gelatin silver print", "Ropewalk|7|2010|gelatin silver contact print")
    name = listed("Negative|Edition size|Declared|Process", *rows, name="more.csv")
    assert with_editions("import", "editions", name, "--apply").status == 0
    name = listed("Negative|Of|No|Sheet|Signed", "Pier|5|1|50x60cm|1992", "Ropewalk|7|1|50x60cm|2010")
    answer = with_editions("import", "prints", name, "--apply")
    assert answer.status == 0, answer.out
    shown = [json.loads(with_editions(f"print show {code} --json").out)[0] for code in (1, 2)]
    assert [one["image"] for one in shown] == ["", "18.0 × 24.0 cm"]
    assert with_editions("print make e4 1 --on 2026-02-01").status == 0
    assert json.loads(with_editions("print show 3 --json").out)[0]["image"] == "9.0 × 12.0 cm"


def test_of_two_dates_of_a_print_the_printed_one_is_taken(with_editions: Tirage, listed: Listed) -> None:
    answer = with_editions(
        "import", "prints", listed("Edition|No|Printed", "E-0001|1|Dec 2003, printed 2014"), "--apply"
    )
    assert "read as printed 2014" in answer.out
    assert "2014" in json.loads(with_editions("print show 1 --json").out)[0]["printed"]
    assert "Dec 2003, printed 2014" in with_editions("print show 1").out


PAYMENTS = (
    # price, paid -> what is owed, the standing of the print, words told
    ("500 EUR", "teilweise", "EUR 500.00", "sold, not paid yet", "neither yes, no nor a day"),
    ("500 EUR", "nein", "EUR 500.00", "sold, not paid yet", ""),
    ("500 EUR", "2003", "", "no longer the studio's", ""),
    ("500 EUR", "", "", "no longer the studio's", "taken as paid"),
    ("$1,050", "no", "price not recorded", "sold, not paid yet", "“$1,050”"),
    ("$1,050", "", "", "no longer the studio's", "taken as paid"),
    ("0 EUR", "", "", "no longer the studio's", "entered as a gift"),
)


@pytest.mark.parametrize(("price", "paid", "owed", "standing", "told"), PAYMENTS)
def test_owed_and_standing_say_the_same(
    with_editions: Tirage, listed: Listed, price: str, paid: str, owed: str, standing: str, told: str
) -> None:
    name = listed("Edition|No|Buyer|Sold|Price|Paid", f"E-0001|1|B. Friend|2001|{price}|{paid}")
    answer = with_editions("import", "prints", name, "--apply")
    assert answer.status == 0 and told in answer.out, answer.out
    assert [one["owed"] for one in json.loads(with_editions("owed --json").out)] == ([owed] if owed else [])
    assert json.loads(with_editions("print show 1 --json").out)[0]["standing"] == standing


BUYERS = (
    # what stands in the column of buyers -> how it is read
    ("given to Eva", "Eva, gift", "read as gift, Eva"),
    ("Geschenk an Eva B.", "Eva B., gift", "read as gift"),
    ("verkauft", "Unknown party, sale", "to whom is not said"),
    ("sold to A. Buyer", "A. Buyer, sale", "read as sale"),
    ("=cmd!calc", "=cmd!calc, sale", "reads like a remark"),
    ("ask Peter when he is back", "ask Peter when he is back, sale", "reads like a remark"),
    ("Archive of the Harbour Museum", "Archive of the Harbour Museum, sale", ""),
)


@pytest.mark.parametrize(("text", "read", "told"), BUYERS)
def test_remarks_are_no_buyers(with_editions: Tirage, listed: Listed, text: str, read: str, told: str) -> None:
    answer = with_editions("import", "prints", listed("Edition|No|Buyer", f"E-0001|1|{text}"))
    assert read in answer.out and told in answer.out, answer.out
    assert ("Doubtful:" in answer.out) is bool(told)


def test_a_number_in_a_refused_row_is_not_free(with_editions: Tirage, listed: Listed) -> None:
    rows = ("E-0001|1|1999", "E-0001|2|1999", "E-0001|2|1999", "E-0001|4|1999")
    told = with_editions("import", "prints", listed("Edition|No|Signed", *rows)).out
    assert "number 2 of E-0001 stands in refused rows 3, 4 only" in told
    assert "number 3 of E-0001 stands in no row" in told


def test_every_new_party_is_told(with_editions: Tirage, listed: Listed) -> None:
    names = ("Galerie Abend", "B. Friend", "C. Buyer", "D. Debtor", "E. Other", "F. First", "G. Good")
    rows = [f"E-0001|{number}|{name}" for number, name in enumerate(names, 1)]
    told = with_editions("import", "prints", listed("Edition|No|Buyer", *rows)).out
    assert "New parties, private, 7:" in told and all(f"\n  “{name}”\n" in told for name in names)
    answer = with_editions("import", "prints", listed("Edition|No|Buyer", *rows, "E-0001|8|Abend"))
    assert answer.status == 1 and "Did you mean Galerie Abend?" in answer.out


def test_what_is_sold_and_gone_is_not_asked_to_be_signed(with_editions: Tirage, listed: Listed) -> None:
    table = listed("Edition|No|Signed|Owner|Sold", "E-0001|1/25|no|A. Collector|1999", "E-0001|2/25|no||")
    assert with_editions("import", "prints", table, "--apply").status == 0
    assert "1 print of E-0001 “Low water” waits to be signed: 2" in with_editions("due", "prints").out
