"""Nothing private of the demo leaves the studio: not in one byte of the public copy, nor on a public paper."""

import sqlite3
from pathlib import Path

import pypdf

# Every place where private words stand. Names of parties who may be named, and words of fewer than six letters, are
# left out: they may stand in public text by right or by chance.
PRIVATE = {
    "names": "SELECT name FROM party WHERE nameable = 0",
    "contacts": "SELECT value FROM party_contact",
    "places": "SELECT name FROM place WHERE name NOT IN ('studio', 'brine house')",
    "notes of negatives": "SELECT note FROM negative",
    "notes of editions": "SELECT note FROM edition",
    "notes of prints": "SELECT note FROM print",
    "notes of transfers": "SELECT note FROM transfer",
    "notes of parties": "SELECT note FROM party",
    "notes of states": "SELECT note FROM negative_event",
    "notes of steps": "SELECT note FROM step",
    "reasons of moves": "SELECT why FROM movement",
    "private facts": "SELECT private_facts FROM certificate",
    "prices": "SELECT DISTINCT currency || ' ' || (price / 100) || '.' || printf('%02d', price % 100) FROM transfer "
    "WHERE price IS NOT NULL",
    "their numbers": "SELECT their_number FROM transfer",
}


def private_words(folder: Path) -> dict[str, set[str]]:
    """What must not leave, by where it stands."""
    with sqlite3.connect(folder / "catalog.db") as demo:
        found = {
            kind: {str(row[0]) for row in demo.execute(sql) if len(str(row[0])) >= 6} for kind, sql in PRIVATE.items()
        }
    found["keys"] = {line for file in (folder / "keys").iterdir() for line in file.read_text().splitlines()
                     if not line.startswith("-")}  # fmt: skip
    return found


def test_no_private_word_in_any_byte_of_the_public_copy(demo_folder: Path) -> None:
    words = private_words(demo_folder)
    for kind in ("names", "contacts", "places", "prices", "keys", "notes of negatives"):
        assert words[kind], f"the demo has no {kind} to look for"
    files = [file for file in (demo_folder / "public").rglob("*") if file.is_file()]
    assert len(files) > 20
    for file in files:
        content = file.read_bytes()
        for kind, found in words.items():
            for word in found:
                assert word.encode() not in content, f"{kind}: {word} in {file.name}"


def test_no_buyer_and_no_price_on_a_public_paper(demo_folder: Path) -> None:
    words = private_words(demo_folder)
    papers = [file for file in (demo_folder / "out").glob("*.pdf") if "-private-" not in file.name]
    assert len(papers) >= 8
    for file in papers:
        reader = pypdf.PdfReader(file)
        text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
        attached = b"".join(content for contents in reader.attachments.values() for content in contents)
        for kind in ("names", "contacts", "prices", "private facts", "keys", "notes of transfers"):
            for word in words[kind]:
                assert word not in text and word.encode() not in attached, f"{kind}: {word} in {file.name}"


def test_the_search_would_find_them(demo_folder: Path) -> None:
    """The studio's own copy does hold them, so that the tests above can fail."""
    content = (demo_folder / "catalog.db").read_bytes()
    for kind in ("names", "contacts", "places"):
        assert all(word.encode() in content for word in private_words(demo_folder)[kind])
