"""What is issued and drawn is valid by the program's own verification, whatever a name or a title holds."""

import random
from pathlib import Path

import pytest

from catalog.documents import certificate as document
from catalog.records import items
from catalog.records.corrections import correct
from tests.documents.test_certificate_paper import Studio, event
from tests.labels.test_whole_file import WORDS

CERTIFICATES = 100


@pytest.mark.parametrize("name", ["endobj %%EOF", "A. startxref Maker", "(/ObjStm) \\", ") endobj 1 0 obj <<"])
def test_an_artist_of_any_name(tmp_path: Path, name: str) -> None:
    studio = Studio(tmp_path / "catalog")
    studio.connection.execute("UPDATE party SET name = ? WHERE kind = 'artist'", (name,))
    one = studio.issue()
    assert one.public["artist"]["name"] == name
    verdict = studio.verdict(studio.paper(one))
    assert verdict.is_valid, verdict


def test_hundreds_of_certificates_of_random_titles(tmp_path: Path) -> None:
    studio, chance, last = Studio(tmp_path / "catalog"), random.Random(1839), None
    edition = items.find_one(studio.connection, "e1", "edition")
    for number in range(CERTIFICATES):
        title = f"{number} " + " ".join(chance.choices(WORDS, k=chance.randint(1, 4)))
        correct(studio.connection, event(), edition, "title", title, "a slip")
        last = studio.issue(1, supersedes=last and last.id)
        assert last.public["title"] == title
        verdict = studio.verdict(document.paper(last, chance.choice(["A4", "Letter"]), studio.key))
        assert verdict.is_valid, (title, verdict)
