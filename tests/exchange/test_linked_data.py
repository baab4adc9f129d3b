"""Linked data: expanded by a JSON-LD library with no network, public by default, machine-exact."""

import json
import re
import sqlite3
from pathlib import Path
from typing import Any

import pytest
from pyld import jsonld

from catalog.cli.main import run
from catalog.dates import parse_date

SCHEMA, DCTERMS = "http://schema.org/", "http://purl.org/dc/terms/"
EDTF = "http://id.loc.gov/datatypes/edtf/EDTF"
PRIVATE_WORDS = re.compile(r"\b[A-Z]{4,}(?:-[A-Z]+)+(?:-\d+)?\b|\b[A-Z]{5,}-\d+\b")  # as in tests/test_demo.py


def no_network(url: str, options: object) -> object:
    """Nothing is fetched."""
    raise AssertionError(url)


def export(folder: Path, target: Path, *more: str) -> Any:
    """The file as JSON."""
    assert run(["--catalog", str(folder), "export", "linked-data", str(target), *more]) == 0
    return json.loads(target.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def public(demo_folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Any:
    return export(demo_folder, tmp_path_factory.mktemp("ld") / "public.jsonld")


@pytest.fixture(scope="module")
def expanded(public: Any) -> dict[str, Any]:
    """Identity -> node, as a JSON-LD processor understands them."""
    found = jsonld.expand(public, {"documentLoader": no_network, "processingMode": "json-ld-1.1"})
    return {node["@id"]: node for node in found}


def test_every_term_is_understood(public: Any, expanded: dict[str, Any]) -> None:
    assert len(expanded) == len(public["@graph"])
    for node in public["@graph"]:
        known = expanded[node["@id"]]
        # A key that the context does not know is dropped in expansion, without a word.
        assert len(known) == len(node), node
        assert all(name.startswith(("@", SCHEMA, DCTERMS)) for name in known)


def test_a_print_leads_to_its_edition_its_plate_and_its_maker(expanded: dict[str, Any]) -> None:
    prints = [node for node in expanded.values() if f"{SCHEMA}Photograph" in node["@type"]]
    assert len(prints) > 50
    for node in prints:
        edition = expanded[node[f"{SCHEMA}exampleOfWork"][0]["@id"]]
        plate = expanded[edition[f"{SCHEMA}isBasedOn"][0]["@id"]]
        assert plate[f"{SCHEMA}artform"][0]["@value"] == "photographic negative"
        assert expanded[node[f"{SCHEMA}creator"][0]["@id"]]["@type"] == [f"{SCHEMA}Person"]


def test_sizes_and_dates_are_exact(expanded: dict[str, Any]) -> None:
    plate = next(node for name, node in expanded.items() if name.endswith("/N/N-0001"))
    height = plate[f"{SCHEMA}height"][0]
    assert height[f"{SCHEMA}value"][0]["@value"] == 16.51 and height[f"{SCHEMA}unitCode"][0]["@value"] == "CMT"
    dates = [value for node in expanded.values() for value in node.get(f"{DCTERMS}created", [])]
    assert dates and all(value["@type"] == EDTF for value in dates)
    assert all(parse_date(value["@value"]).edtf == value["@value"] for value in dates)


def test_it_makes_triples(public: Any) -> None:
    quads = jsonld.to_rdf(public, {"documentLoader": no_network, "format": "application/n-quads"})
    assert '"25"^^<http://www.w3.org/2001/XMLSchema#integer>' in quads and f"^^<{EDTF}>" in quads


def test_nothing_private_is_in_it(public: Any, demo_folder: Path) -> None:
    text = json.dumps(public, ensure_ascii=False)
    database = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    names = [row[0] for row in database.execute("SELECT name FROM party WHERE kind NOT IN ('artist')")]
    hidden = [row[0] for row in database.execute(
        "SELECT c.code FROM negative n JOIN code c ON c.id = n.id WHERE n.shown = 0 "
        "AND NOT EXISTS (SELECT 1 FROM edition e WHERE e.negative = n.id AND e.shown = 1)")]  # fmt: skip
    assert names and not [name for name in names if name in text]
    assert hidden and not [code for code in hidden if code in text]
    assert not PRIVATE_WORDS.findall(text)


def test_the_whole_is_told_on_request(demo_folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    whole = export(demo_folder, tmp_path / "whole.jsonld", "--private")
    assert "PRIVATE" in capsys.readouterr().err
    database = sqlite3.connect(f"file:{demo_folder / 'catalog.db'}?mode=ro", uri=True)
    codes = {row[0] for row in database.execute("SELECT code FROM code WHERE kind IN ('edition')")}
    codes |= {row[0] for row in database.execute("SELECT c.code FROM code c JOIN negative USING (id)")}
    assert codes <= {node.get("identifier") for node in whole["@graph"]}
    assert any("provenance" in node for node in whole["@graph"])
    jsonld.expand(whole, {"documentLoader": no_network})
    before = database.execute("SELECT count(*) FROM negative WHERE shown = 0").fetchone()[0]
    assert before > 0  # marking all as shown was done in a copy


def test_a_file_that_is_there_is_left(demo_folder: Path, tmp_path: Path) -> None:
    (tmp_path / "there").write_text("mine")
    assert run(["--catalog", str(demo_folder), "export", "linked-data", str(tmp_path / "there")]) == 1
    assert (tmp_path / "there").read_text() == "mine"


@pytest.mark.parametrize(
    ("born", "edtf", "told"),
    [("before 1932", "/1932", "before 1932–"), ("c. 1950", "1950~", "c. 1950–"), ("1898/1900", "1898/1900", "between")],
)
def test_a_birth_that_is_not_known_to_the_year_is_not_cut(tmp_path: Path, born: str, edtf: str, told: str) -> None:
    from catalog.records import catalogs

    assert run(["init", str(tmp_path / "studio"), "--artist", "A. Approx", "--born", born]) == 0
    (artist, *_) = export(tmp_path / "studio", tmp_path / "all.jsonld")["@graph"]
    assert artist["birthDate"] == edtf == parse_date(artist["birthDate"]).edtf
    opened = sqlite3.connect(tmp_path / "studio" / "catalog.db")
    assert catalogs.artist(opened).life.startswith(f"[{told}")
    opened.close()
