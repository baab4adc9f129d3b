"""The calendar of what waits: read back by the library, whatever waits; RFC 5545."""

from datetime import UTC, date, datetime, timedelta, timezone
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from icalendar import Calendar

from catalog.documents.calendar import CalendarNameError, calendar, keep
from catalog.documents.filing import OtherDocumentError
from catalog.rules.waiting import Due

NOW = datetime(2026, 3, 2, 19, 30, 15, 400, tzinfo=timezone(timedelta(hours=1)))
# until as a record has it -> when it begins in the calendar, None where there is nothing to enter
ENDS = (
    ("2026-03-03T18:00+01:00", datetime(2026, 3, 3, 17, 0, tzinfo=UTC)),
    ("2026-03-03", date(2026, 3, 3)),
    ("2027-05", date(2027, 5, 31)),
    ("2027-02", date(2027, 2, 28)),
    ("2027", date(2027, 12, 31)),
    ("2027-05-03?", date(2027, 5, 3)),
    ("202X", date(2029, 12, 31)),
    ("../2027-05", date(2027, 5, 31)),
    ("2027-05/..", None),
    ("", None),
)


def waits(until: str, code: str = "N-0001", what: str = "plate") -> Due:
    return Due(
        what, code, "2026-03-02", until, f"{code} “Weir” is drying.", "tirage step add varnish n1", f"{code} dries"
    )


@pytest.mark.parametrize(("until", "begins"), ENDS)
def test_ends(until: str, begins: date | None) -> None:
    read = Calendar.from_ical(calendar([waits(until)], NOW, "studio"))
    assert [entry.decoded("dtstart") for entry in read.walk("VEVENT")] == ([begins] if begins else [])


def test_what_an_entry_says_and_that_importing_again_replaces_it() -> None:
    entry = Calendar.from_ical(calendar([waits("2026-03-03")], NOW, "studio")).walk("VEVENT")[0]
    assert entry["summary"] == "N-0001 dries"
    assert entry["description"] == "Since 2 March 2026.\ntirage step add varnish n1"
    assert entry.decoded("dtstamp") == datetime(2026, 3, 2, 18, 30, 15, tzinfo=UTC)
    assert entry["transp"] == "TRANSPARENT" and not entry.walk("VALARM")
    later = Calendar.from_ical(calendar([waits("2026-03-05")], NOW + timedelta(days=1), "studio")).walk("VEVENT")[0]
    assert later["uid"] == entry["uid"]
    other = Calendar.from_ical(calendar([waits("2026-03-03")], NOW, "another studio")).walk("VEVENT")[0]
    assert other["uid"] != entry["uid"]


texts = some.text(alphabet=some.characters(blacklist_categories=("Cs",)), max_size=120)
ends = some.one_of(
    some.sampled_from([until for until, _ in ENDS]),
    some.dates(date(1, 1, 1)).map(date.isoformat),
    some.datetimes(datetime(1900, 1, 1), datetime(2200, 1, 1)).map(
        lambda at: at.replace(tzinfo=timezone(timedelta(hours=5, minutes=30))).isoformat(timespec="minutes")
    ),
)
dues = some.builds(
    Due, some.sampled_from(["plate", "promise", "loan"]), some.text("AB", min_size=1), some.just("2026-03-02"), ends,
    texts.map(lambda text: text + "."), texts, texts, texts,
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(some.lists(dues, max_size=8, unique_by=lambda one: one.identity))
def test_any_list_reads_back_with_an_entry_for_each_that_has_an_end(waiting: list[Due]) -> None:
    content = calendar(waiting, NOW, "studio")
    entries = Calendar.from_ical(content).walk("VEVENT")
    dated = [one for one in waiting if one.falls is not None]
    assert len(entries) == len(dated) == len({entry["uid"] for entry in entries})
    lines = content.split(b"\r\n")  # RFC 5545, 3.1: lines end in CRLF and are 75 octets at most
    assert lines[-1] == b"" and all(len(line) <= 75 and b"\n" not in line for line in lines)


def test_only_a_calendar_of_ours_is_written_over(tmp_path: Path) -> None:
    path = tmp_path / "out" / "due.ics"
    keep(path, calendar([waits("2026-03-03")], NOW, "studio"))
    keep(path, calendar([], NOW, "studio"))
    assert b"VEVENT" not in path.read_bytes()
    path.write_bytes(b"BEGIN:VCALENDAR\r\nPRODID:another\r\n")
    with pytest.raises(OtherDocumentError):
        keep(path, calendar([], NOW, "studio"))
    assert b"another" in path.read_bytes()
    with pytest.raises(CalendarNameError, match="plates"):
        keep(tmp_path / "plates", b"")
