"""A plate from the clean glass to the first print, typed; what waits, by word and as a calendar."""

import json
from collections.abc import Iterator
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar

from tests.cli.conftest import Answer, Tirage

TODAY = date.today()


def ago(days: int) -> str:
    return (TODAY - timedelta(days=days)).isoformat()


def done(tirage: Tirage, *lines: str) -> Answer:
    """Type lines that must work; the last one's answer."""
    for line in lines:
        answer = tirage(*(word.replace("_", " ") for word in line.split()))
        assert answer.status == 0, f"{line}: {answer.err}"
    return answer


@pytest.fixture
def bench(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Tirage]:
    """Two plates fixed in cyanide three days ago, developed and rinsed before; their baths."""
    done(tirage, "init studio --artist Ada")
    monkeypatch.chdir(tmp_path / "studio")
    done(
        tirage,
        f"bath mix collodion bromo-iodide_collodion --on {ago(15)}",
        f"bath mix silver_bath silver_nitrate_bath --on {ago(40)}",
        f"bath care b2 sunned_and_filtered --strength 9_% --on {ago(4)}",
        f"bath mix developer iron_developer --on {ago(3)}",
        f"bath mix fixer potassium_cyanide --on {ago(3)}",
        "washer add trough --kind tray",
        f"negative add Low_water --made {ago(3)}",
        f"negative add Weir --made {ago(3)}",
        f"step add collodion n1-2 --on {ago(3)} --at 10:00",
        f"step add sensitize n1-2 3m --on {ago(3)} --at 10:01",
        f"step add expose n1-2 7s --detail lens=meniscus --detail stop=f/8 --on {ago(3)} --at 10:05",
        f"step add develop n1-2 20s --on {ago(3)} --at 10:06",
        f"step add rinse n1-2 --on {ago(3)} --at 10:07",
        f"fix n1-2 1m --on {ago(3)} --at 10:08",
    )
    yield tirage


def test_a_plate_to_its_first_print(bench: Tirage) -> None:
    assert "next: wash it for 5 min" in bench("due plates").out
    done(bench, f"wash n1-2 5m --on {ago(3)} --at 10:10")
    assert "are drying; varnish them from" in done(bench, f"dry n1-2 --on {ago(3)} --at 18:00").out
    due = bench("due").out
    assert due.count("time to varnish it") == 2 and "tirage step add varnish n1" in due
    said = done(bench, f"step add varnish n1 --on {ago(2)} --at 19:00")
    assert "N-0001 is varnished; make prints of it from" in said.out
    assert "12.8 °C" in said.err
    due = bench("due plates").out
    assert due.index("N-0001") < due.index("N-0002")  # both can be worked on now: in their order
    assert "time to make prints of it.\n    tirage negative state n1 ready" in due
    done(bench, "step add varnish n2")
    due = bench("due plates").out
    assert due.index("N-0001") < due.index("N-0002") and "make prints of it from tomorrow" in due
    done(bench, "negative state n1 ready")
    assert "N-0001" not in bench("due").out


def test_the_making_is_shown_with_ages_and_care(bench: Tirage) -> None:
    out = bench("negative show n1").out
    for words in (
        "collodion: bromo-iodide collodion (B-0001), 12 days old",
        "sensitize: silver nitrate bath (B-0002), 3 min, strength 9 %, last cared for",
        "sunned and filtered",
        "expose, 7 s, lens meniscus, stop f/8",
        "develop: iron developer (B-0003), 20 s, mixed that day",
        "Next: wash it for 5 min: tirage wash n1 5m",
    ):
        assert words in out, words
    assert out.count(" in process\n") == 2  # the state now, and when it came to it
    assert json.loads(bench("negative show n1 --json").out)[0]["next"] == "wash it for 5 min: tirage wash n1 5m"


def test_cyanide_beside_iodine_is_loud_and_found(bench: Tirage) -> None:
    assert bench("check").status == 0
    said = bench(f"step add iodine n1-2 35s --on {ago(3)} --at 10:20")
    assert said.status == 0 and "STOP: N-0001, N-0002 went from potassium cyanide" in said.err
    found = bench("check")
    assert found.status == 1 and found.out.count("cyanide beside iodine") == 2
    done(bench, f"step add rinse n1-2 --on {ago(3)} --at 10:15")
    assert bench("check").status == 0


def test_undo_takes_the_state_back_with_the_step(bench: Tirage) -> None:
    done(bench, "dry n1", "undo")
    assert "state    in process" in bench("negative show n1").out


def test_words_for_some_of_what_waits(studio: Tirage) -> None:
    done(
        studio, "sign 1-6", "promise e1:10 --to Bea --until 2027-05", f"negative add Dune --state drying --on {ago(0)}"
    )
    done(studio, "sell 2 Cy 900EUR")
    assert studio("due promises").out == "Nothing of that is waiting.\n"  # in time, but not soon
    for word, words in (("plates", "Dune"), ("plate", "Dune"), ("payments", "is not paid"), ("payment", "is not paid")):
        out = studio("due", word).out
        assert words in out and len(out.splitlines()) == 2 + 2 * (word.startswith("plate")), word
    assert studio("due --only payments").out == studio("due payments").out
    assert studio("due --only plates --json").out.count('"what": "plate"') == 2
    wrong = studio("due banana")
    assert wrong.status == 1 and "banana" in wrong.err and "plates, prints, promises" in wrong.err


def test_the_calendar_holds_all_that_ends_however_late(studio: Tirage) -> None:
    done(studio, "sign 1-6", "promise e1:10 --to Bea --until 2031-05", "promise e1:11 --to Bea --until 2031-05")
    done(studio, "promise e1:12 --to Bea", "lend 5 Harbour --until 2032-09-01")
    done(studio, f"negative add Dune --state drying --on {ago(0)} --at 00:01Z")
    assert studio("due --calendar").out == "out/due.ics: 4 entries.\n"
    entries = Calendar.from_ical(Path("out/due.ics").read_bytes()).walk("VEVENT")
    begins = sorted(str(entry.decoded("dtstart"))[:10] for entry in entries)
    assert begins[1:] == ["2031-05-31", "2031-05-31", "2032-09-01"]
    plate = next(entry.decoded("dtstart") for entry in entries if "Dune" in entry["summary"])
    assert plate == datetime.fromisoformat(f"{ago(0)}T00:01+00:00") + timedelta(days=1)
    summaries = sorted(str(entry["summary"]) for entry in entries)
    assert summaries[0] == "10 of E-0001, promised to Bea"
    assert "The loan of P-000005 to Harbour ends" in summaries
    before = {entry["uid"] for entry in entries}
    assert studio("due promises --calendar mine.ics").out == "mine.ics: 2 entries.\n"
    again = Calendar.from_ical(Path("mine.ics").read_bytes()).walk("VEVENT")
    assert {entry["uid"] for entry in again} < before
    Path("other.ics").write_text("mine", encoding="utf-8")
    assert studio("due --calendar other.ics").status == 1
    wrong = studio("due --calendar plates")
    assert wrong.status == 1 and "tirage due plates --calendar" in wrong.err
