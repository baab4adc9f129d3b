"""What the public page and the provenance sheet say of permanence: every doubt, every claim, and nothing private."""

import sqlite3
from pathlib import Path

import pytest

from catalog.documents.provenance import provenance_sheet
from catalog.publish.reading import PublicCopy
from catalog.store import connection as store
from tests.cli.conftest import Tirage

# Two loads of one way of working: clean strips prove it, the last one, of a load in a fixer past its capacity, fails
# afterwards. Whatever stands in capitals is the user's private word.
LINES = (
    "washer add WASHERSECRET --kind slots --volume 20l --flow 4l/min",
    "strip 5 --paper warm12 --on 2026-03-07 --note STRIPNOTE",
    "print make e1 6 --on 2026-03-07 --paper warm12 --note PRINTNOTE",
    "fix k1 1m --on 2026-03-08 --note STEPNOTE",
    "wash k1 60m --washer WASHERSECRET --on 2026-03-08",
    "test k1 hypo none silver none --on 2026-03-08 --note TESTNOTE",
    "routine add ROUTINESECRET --like k1 --tests 1 --lapses 30d --basis OWNBASIS --note ROUTINENOTE --on 2026-03-09",
    "fix k2 1m --on 2026-03-10",
    "wash k2 60m --washer WASHERSECRET --on 2026-03-10",
    "test k2 hypo none silver none --on 2026-03-10",
    "fix 7 1m --on 2026-03-11",
    "wash 7 60m --washer WASHERSECRET --on 2026-03-11",
    "fix k3 1m --on 2026-03-12",
    "wash k3 60m --washer WASHERSECRET --on 2026-03-12",
    "test k3 hypo beige silver none --on 2026-03-12 --note TESTNOTE",
    "bath mix fixer small-fixer --capacity 1cm2 --basis BATHBASIS --note BATHNOTE --on 2026-03-13",
    "fix 9-10,k4 1m --bath b2 --on 2026-03-14",
    "wash 9-10,k4 60m --washer WASHERSECRET --on 2026-03-14",
    "test k4 hypo beige --on 2026-03-14",
    "wash 9-10 60m --washer WASHERSECRET --on 2026-03-15",
    "fix 11-12,k5 1m --bath b1 --on 2026-03-14",
    "wash 11-12,k5 60m --washer WASHERSECRET --on 2026-03-14",
    "test k5 hypo none silver none --on 2026-03-14",
    "wash 11-12 60m --washer WASHERSECRET --on 2026-03-15",
    "sign 7-12 --on 2026-03-16",
    "shown n1",
    "publish",
)
PRIVATE = ("SECRET", "NOTE", "BATHBASIS", "OWNBASIS", "tester")


@pytest.fixture
def public(studio: Tirage) -> PublicCopy:
    for line in LINES:
        words = line.split() + (["--anyway", "a test"] if line.startswith("sign") else [])
        answer = studio(*words)
        assert answer.status == 0, (line, answer.err)
    return PublicCopy(Path("public"))


def test_every_doubt_and_claim_is_public_and_nothing_private(public: PublicCopy) -> None:
    rows = {row["code"]: row for row in public.rows("SELECT * FROM print")}
    disproved, stained = rows["P-000007"], rows["P-000009"]
    assert "failed on 12 March 2026" in disproved["hypo_doubts"], disproved
    assert "was made before a later wet step" in rows["P-000011"]["silver_doubts"]
    assert "Fixer B-0002 was past the capacity set for it" in stained["silver_doubts"]
    assert stained["hypo"].startswith("Failed: ") and "retest due" in stained["hypo"]
    assert "and it was not tested since it was washed or treated again" in stained["claims"]
    assert "it may be said that it was fixed and washed as recorded" in disproved["claims"]
    for file in Path("public").rglob("*"):
        if file.is_file():
            held = file.read_bytes()
            assert not [word for word in PRIVATE if word.encode() in held], file


def test_sheet_says_the_same_and_has_a_square_where_there_is_a_page(studio: Tirage, public: PublicCopy) -> None:
    assert studio("print make n1 1 --on 2026-03-07").status == 0  # a work print has no page
    with_pages = {row["code"] for row in public.rows("SELECT code FROM print")}
    connection = store.open_catalog(Path.cwd(), writing=False)
    try:
        for identity, code in connection.execute(
            "SELECT p.id, c.code FROM print p JOIN code c ON c.id = p.id ORDER BY p.id"
        ).fetchall():
            content = provenance_sheet(connection, identity, "https://example.org", private=False)
            assert (content.address != "") is (code in with_pages), code
            section = next(one for one in content.sections if one.heading.startswith("Processing"))
            text = " ".join(section.paragraphs)
            row = public.row("SELECT * FROM print WHERE code = ?", code)
            for part in ("hypo", "hypo_doubts", "silver", "silver_doubts", "claims"):
                assert row is None or all(line in text for line in row[part].splitlines()), (code, part)
            if row:
                assert f"“{row['grade']}” means" in section.notes[0]
            assert not [word for word in PRIVATE if word in text]
    finally:
        connection.close()


def test_a_copy_made_before_these_columns_is_refused_with_what_to_do(public: PublicCopy) -> None:
    public.connection.close()
    with sqlite3.connect("public/public.db") as before:
        before.execute("ALTER TABLE print DROP COLUMN claims")
    before.close()
    with pytest.raises(Exception, match="Publish first"):
        PublicCopy(Path("public"))
