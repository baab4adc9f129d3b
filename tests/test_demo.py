"""The demo: an invented life in text, replayed through the real commands."""

import re
import sqlite3
from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.resources import resource
from catalog.rules.due import LOOKS, WORDS
from catalog.rules.evidence import Evidence, evidence_many

PAPERS = (
    r"labels-P-\d{6}.*\.pdf",
    r"labels-N-\d{4}.*\.pdf",
    r"provenance-P-\d{6}\.pdf",
    r"provenance-private-P-\d{6}\.pdf",
    r"certificate-C-\d{4}\.pdf",
    r"card-E-\d{4}\.pdf",
    r"trials-N-\d{4}\.pdf",
    r"wash-curve-.*\.pdf",
    r"session-\d\.pdf",
)
GRADES = ("measured", "spot-tested", "by proven routine", "recorded", "unrecorded", "failed")
ENOUGH = (
    ("negative", 24),
    ("edition", 12),
    ("edition WHERE numerals = 'roman'", 1),
    ("edition WHERE disclosure <> ''", 1),
    ("edition_erratum", 1),
    ("edition_event WHERE fate = 'marked'", 1),
    ("edition_price WHERE from_sale > 1", 4),
    ("print", 115),
    ("picture", 24),
    ("control_strip", 10),
    ("certificate", 8),
    ("residual_test", 10),
    ("routine", 1),
    ("calibration", 1),
    ("recipe", 1),
    ("density", 10),
    ("bath_event", 1),
    ("bath WHERE position = 'second'", 1),
    ("session_sheet WHERE standing = 'open'", 5),
    ("print WHERE kind = 'reference'", 1),
    ("print WHERE kind = 'work'", 10),
    ("print WHERE replaces IS NOT NULL", 1),
    ("print WHERE state = 'destroyed'", 2),
    ("promise WHERE ended = 'kept'", 1),
    ("promise WHERE ended = 'withdrawn'", 1),
    ("promise WHERE ended = ''", 2),
)
ADDRESS = re.compile(r"(?:https?://|[\w.+-]+@)([\w.-]+)")
PRIVATE_WORDS = re.compile(r"\b[A-Z]{4,}(?:-[A-Z]+)+(?:-\d+)?\b|\b[A-Z]{5,}-\d+\b")


@pytest.fixture
def demo(demo_folder: Path) -> Iterator[sqlite3.Connection]:
    """The demo's database, to read."""
    connection = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    yield connection
    connection.close()


def count(demo: sqlite3.Connection, of: str) -> int:
    """How many rows there are."""
    return int(demo.execute(f"SELECT count(*) FROM {of}").fetchone()[0])


def evidence_of_all(demo: sqlite3.Connection) -> list[Evidence]:
    """The evidence of every print."""
    return list(evidence_many(demo, [row[0] for row in demo.execute("SELECT id FROM print")]).values())


def script() -> str:
    """All text of the demo."""
    return "\n".join(file.read_text(encoding="utf-8") for file in sorted(resource("demo_catalog").glob("*.toml")))


@pytest.mark.parametrize(("of", "least"), ENOUGH)
def test_holds_enough_of_everything(demo: sqlite3.Connection, of: str, least: int) -> None:
    assert count(demo, of) >= least


def test_plates_fall_into_three_series(demo: sqlite3.Connection) -> None:
    assert count(demo, "series") == 3
    assert count(demo, "negative WHERE series IS NULL") == 0


def test_plates_are_in_many_states(demo: sqlite3.Connection) -> None:
    states = {row[0] for row in demo.execute("SELECT state FROM negative")}
    assert states >= {"ready", "drying", "varnished", "retired", "broken", "cancelled", "lost"}


def test_editions_have_different_shapes(demo: sqlite3.Connection) -> None:
    assert count(demo, "edition WHERE size IS NULL") == 1
    assert {row[0] for row in demo.execute("SELECT state FROM edition")} == {
        "declared",
        "closed early",
        "complete",
        "cancelled",
    }
    assert {row[0] for row in demo.execute("SELECT kind FROM print WHERE signed <> '' OR kind = 'CP'")} >= {
        "numbered",
        "open",
        "AP",
        "PP",
        "HC",
        "BAT",
        "EC",
        "CP",
    }


def test_every_kind_of_transfer_happened(demo: sqlite3.Connection) -> None:
    kinds = {row[0] for row in demo.execute("SELECT kind FROM transfer")}
    assert kinds >= {
        "sale", "payment", "consignment", "approval", "return", "gift", "loan", "exhibition", "kept", "loss", "finding",
        "destruction",
    }  # fmt: skip


def test_certificates_stand_are_revoked_and_superseded(demo: sqlite3.Connection) -> None:
    assert {row[0] for row in demo.execute("SELECT event FROM certificate_event")} == {"revoked", "superseded"}


@pytest.mark.parametrize("grade", GRADES)
def test_every_evidence_grade_occurs(demo: sqlite3.Connection, grade: str) -> None:
    assert Counter(found.grade for found in evidence_of_all(demo))[grade]


def test_a_retest_is_due_and_a_test_is_stale(demo: sqlite3.Connection) -> None:
    found = evidence_of_all(demo)
    assert any("retest due" in one.hypo.sentence for one in found)
    assert any("no longer counts" in doubt for one in found for doubt in one.hypo.doubts)
    assert any("An unwashed item joined" in doubt for one in found for doubt in one.hypo.doubts)


@pytest.mark.parametrize("pattern", PAPERS)
def test_every_kind_of_paper_is_in_out(demo_folder: Path, pattern: str) -> None:
    files = [file for file in (demo_folder / "out").iterdir() if re.fullmatch(pattern, file.name)]
    assert files
    assert all(file.read_bytes().startswith(b"%PDF-") for file in files)


def test_public_copy_holds_no_private_word(demo_folder: Path) -> None:
    words = set(PRIVATE_WORDS.findall(script()))
    assert len(words) >= 6
    public = (demo_folder / "public" / "public.db").read_bytes().decode("utf-8", "replace")
    assert "Pans at First Light" in public
    for word in words:
        assert word not in public
    assert any((demo_folder / "public" / "pictures").rglob("*.jpg"))


def test_events_are_by_the_artist_not_by_a_login(demo: sqlite3.Connection) -> None:
    artist = demo.execute("SELECT name FROM party WHERE kind = 'artist'").fetchone()[0]
    assert {row[0] for row in demo.execute("SELECT by FROM step UNION SELECT by FROM transfer")} == {artist}


def test_check_finds_no_more_than_the_story_means(demo_folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import json

    capsys.readouterr()
    run(["--catalog", str(demo_folder), "check", "--json"])
    found = json.loads(capsys.readouterr().out)
    assert {one["severity"] for one in found} <= {"warning", "note"}
    meant = ("residual test failed", "is not paid", "has a gap", "which was declared later", "in no backup")
    assert all(any(words in one["sentence"] for words in meant) for one in found)


def test_a_folder_that_holds_something_is_refused(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "letter.txt").write_text("keep me", encoding="utf-8")
    assert run(["demo", str(tmp_path)]) == 1
    assert capsys.readouterr().err.startswith("tirage: ")
    assert [file.name for file in tmp_path.iterdir()] == ["letter.txt"]


def test_every_address_is_an_example() -> None:
    hosts = ADDRESS.findall(script())
    assert hosts
    assert all(host == "example.org" or host.endswith(".example.org") for host in hosts)


def test_each_look_tells_only_of_its_kinds(demo: sqlite3.Connection) -> None:
    kinds = {kind for look, tells in LOOKS for kind in tells}
    assert kinds == {kind for named in WORDS.values() for kind in named}
    demo.row_factory = sqlite3.Row
    now = datetime.fromisoformat("2026-11-20T12:00:00+00:00")
    for look, tells in LOOKS:
        assert {found.what for found in look(demo, now)} <= tells
