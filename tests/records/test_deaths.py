"""Deaths: recorded once, mended for a reason, never before what the artist signed; also by plain SQL."""

import sqlite3
from pathlib import Path

import pytest

from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.records import deaths, designations, editions, parties, prints
from catalog.rules.checks.deaths import signed_after_death
from catalog.rules.checks.findings import Subject
from tests.dealings_sample import Dealings, on


@pytest.fixture
def studio(tmp_path: Path) -> Dealings:
    made = Dealings(tmp_path / "catalog", made="2020")
    designations.sign(made.connection, on("2024-02-01"), made.thing())
    return made


def died(studio: Dealings, date: str, why: str = "", who: str = "A. Example") -> str:
    party = parties.named(studio.connection, who)
    deaths.record(studio.connection, on("2026-11-02"), party, parse_date(date), why)
    return parties.named(studio.connection, who).died


def test_a_death_before_a_signature_is_refused_and_found(studio: Dealings, tmp_path: Path) -> None:
    with pytest.raises(deaths.AliveThenError, match="P-000001 was signed by the artist 1 February 2024"):
        died(studio, "2024-01-20")
    assert died(studio, "2024") == "2024", "it may have been later that year"
    with pytest.raises(sqlite3.IntegrityError, match="signed something after that day"):
        studio.connection.execute("UPDATE party SET died = '2024-01-20', died_latest = '2024-01-20'")
    subject = Subject(studio.connection, tmp_path, None)  # type: ignore[arg-type]
    assert not list(signed_after_death(subject))
    studio.connection.execute("DROP TRIGGER party_death_after_signing")
    studio.connection.execute("UPDATE party SET died = '2024-01', died_latest = '2024-01-31' WHERE kind = 'artist'")
    (finding,) = signed_after_death(subject)
    assert finding.severity == "error" and finding.code == "P-000001" and "1 February 2024" in finding.sentence


def test_any_party_dies_once(studio: Dealings) -> None:
    studio.party("B. Buyer")
    assert died(studio, "c. 2025", who="B. Buyer") == "2025~"
    with pytest.raises(deaths.DeathRecordedError, match=r"recorded already \(c\. 2025\).*--why REASON"):
        died(studio, "2025", who="B. Buyer")
    assert died(studio, "2025", "her family says so", "B. Buyer") == "2025"
    for date in ("2030", "2025/..", "1950"):
        with pytest.raises((NotUnderstood, deaths.DeathRecordedError)):
            died(studio, date)
    with pytest.raises(sqlite3.IntegrityError, match="recorded death stays"):
        studio.connection.execute("UPDATE party SET died = '', died_latest = '' WHERE name = 'B. Buyer'")


def test_the_estate_rests_on_the_date(studio: Dealings) -> None:
    died(studio, "2025-05")
    edition = editions.declare(
        studio.connection,
        on("2025-07"),
        studio.plate.id,
        "Low water",
        5,
        {},
        image=(100_000, 200_000),
        process="salt print",
        estate=True,
    )
    assert died(studio, "2025-06", "slip") == "2025-06"
    prints.make(studio.connection, on("2025-08"), edition, 1)
    with pytest.raises(deaths.DeathRecordedError, match="of the estate rests on that date"):
        died(studio, "2025-05", "slip")
    with pytest.raises(sqlite3.IntegrityError, match="recorded death stays"):
        studio.connection.execute("UPDATE party SET died = '2025', died_latest = '2025-12-31' WHERE kind = 'artist'")
