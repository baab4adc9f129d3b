"""Mails and telephone numbers in a note of a party are told: a note stays readable for good."""

from pathlib import Path

import pytest

from catalog.exchange.importing.told_in_notes import way_in
from tests.cli.conftest import Tirage

# a note -> what it seems to hold; numbers as they are commonly written, common practice, no source
NOTES = {
    "ring +49 30 555 1234": "a telephone number",
    "0049 30 5551234": "a telephone number",
    "tel. 555 123": "a telephone number",
    "Handy 171 555 123": "a telephone number",
    "555-123-4567": "a telephone number",
    "(030) 555 12 34": "a telephone number",
    "06 12 34 56 78, le soir": "a telephone number",
    "met 2014-05-03, call 020 7946 0018": "a telephone number",
    "a.b@example.org": "a mail",
    "<a@example.org> or +00 555 1234": "a mail and a telephone number",
    "bought two on 03.05.2014": "",
    "2014-05-03/2015-01-12": "",
    "1998-2004": "",
    "3 for 10.000,00 EUR": "",
    "plates 003-009, N-0001": "",
    "inv. 2004.123.4567": "",
    "Telling 1234567": "",
    "@home": "",
}


@pytest.mark.parametrize("text", NOTES)
def test_what_a_note_seems_to_hold(text: str) -> None:
    assert way_in(text) == NOTES[text]


def test_it_is_told_and_kept(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    Path("list.csv").write_text(
        "Name,Remarks,Club,Mail\nAda,a@example.org,+00 555 1234,a@example.org\nBo,early,Rowing,\n"
    )
    for line in ("import parties list.csv", "import parties list.csv --apply"):
        told = tirage(line).out
        assert "it seems to hold a mail of “Ada”, and where it stands it stays readable for good" in told
        assert "it seems to hold a telephone number of “Ada”" in told
        assert "of “Bo”" not in told
    assert "+00 555 1234" in tirage("party show Ada").out
