"""The key sheet: every key, how it came and ended, and what its signature does not prove."""

import datetime
import json
from io import BytesIO

import pypdf
import pytest

from catalog import signing
from catalog.dates import moment
from catalog.documents import key_sheet
from catalog.documents.presentation import Presentation
from catalog.events import Event
from catalog.records import artist_keys, catalogs, private_keys
from catalog.records.private_keys import KeyRing
from catalog.store import connection as store

NOW = datetime.datetime(2026, 12, 3, 15, 40, tzinfo=datetime.UTC)


@pytest.fixture
def connection(tmp_path):
    """The artist's key, renewed, then lost; the estate's, signed for by the artist's."""
    folder = tmp_path / "catalog"
    made = store.create(folder)
    catalogs.begin(made, "Mara Example", "1971", "", "", "Saltmere", "2026-01-01")
    private_keys.begin(made, folder, "2026-01-01")
    for day, holder, lost in (
        ("2026-02-01", "artist", ""),
        ("2026-03-01", "estate", ""),
        ("2026-04-01", "artist", "fire"),
    ):
        private_keys.renew(
            made, Event(moment(day, None, NOW), "studio", ""), KeyRing(folder), holder, why=lost, lost=bool(lost)
        )
    return made


def test_every_key_and_how_it_came(connection):
    said = key_sheet.content(connection, "2026-05-01", Presentation())
    keys = artist_keys.all_keys(connection)
    assert [key.heading for key in said.keys] == [
        "Key 1, the artist’s",
        "Key 2, the artist’s",
        "Key 3, the estate’s",
        "Key 4, the artist’s",
    ]
    assert [key.standing for key in said.keys] == [
        "1 January 2026 to 1 February 2026",
        "1 February 2026 to 1 April 2026",
        "signs since 1 March 2026",
        "signs since 1 April 2026",
    ]
    told = [" ".join(key.sentences) for key in said.keys]
    assert told[0] == "Ended: followed by key 2." and "lost: fire" in told[1] and "Key 1 signed for it" in told[1]
    assert "Key 2 signed for it" in told[2]
    assert "No other key signed for this one: fire." in told[3] and "stands alone" in told[3]
    for entry, key in zip(said.keys, keys, strict=True):
        assert (entry.public_key, entry.thumbprint, entry.word) == (key.x, key.thumbprint, key.succession)
        assert signing.read_public(entry.square) == {key.thumbprint: key.x}
        assert json.loads(entry.square).keys() == {"crv", "kty", "x"}
    limits = " ".join(text for section in said.sections for text in section.paragraphs)
    for words in ("quantum computer", "lost", "Not that the print in hand", "without a network"):
        assert words in limits, words


@pytest.mark.parametrize("page", ["A4", "Letter"])
def test_it_holds_nothing_secret(connection, page):
    pdf = key_sheet.key_sheet(connection, "2026-05-01", Presentation(), page)
    text = " ".join(one.extract_text() for one in pypdf.PdfReader(BytesIO(pdf)).pages)
    assert "PRIVATE" not in text.upper().replace("A PRIVATE KEY", "").replace("THE PRIVATE KEY", "")
    assert "These are the public keys of my studio" in text


def test_for_the_estate(connection):
    connection.execute("UPDATE party SET died = '2026-06', died_latest = '2026-06-30' WHERE kind = 'artist'")
    said = key_sheet.content(connection, "2026-07-01", Presentation())
    assert said.hands[0][1][0] == "Signature for the estate"
    assert said.hands[0][0].startswith("For the estate: these are the public keys of Mara Example and of the estate: ")
    assert "my studio" not in str(said)
