"""A mapping file corrected after its list was brought in: every field that is read otherwise is told, and no other."""

import shutil
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage
from tests.exchange.importing.conftest import HERE, Listed

HEADINGS = "Title|Date|Size|Thickness|Weight|Process|Place"
ROWS = (
    "Pond|3/4/1952|20 x 25|2,5|0,75 kg|koll. nass|rack II",
    "Shed|||||coll.|rack III",
    "Quay||13x18 cm|2|90||rack II",
)
MAPPING = "list.csv.mapping.toml"
TOLD = "were read otherwise when they were imported ("
# What is corrected in the mapping file -> what is told of row 2.
CORRECTED = (
    ('decimal = "point"', 'decimal = "comma"', "row 2: thickness none, now 2.5 mm; weight none, now 750 g"),
    ('unit = ""', 'unit = "cm"', "row 2: size none, now 20.0 × 25.0 cm)"),
    ('date_order = ""', 'date_order = "day first"', "made one of 4 March 1952, 3 April 1952, now 3 April 1952)"),
    ("[processes]", '[processes]\n"koll. nass" = "wet-collodion negative"', "row 2: process koll. nass, now wet-coll"),
    ("[places]", '[places]\n"rack II" = "studio/rack 2"', "row 2: place rack II, now studio/rack 2; and so row 4)"),
)


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, listed: Listed) -> Tirage:
    """A catalog with a list of three plates brought in."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    listed(HEADINGS, *ROWS)
    tirage("import negatives list.csv")
    assert tirage("import negatives list.csv --apply").status == 0
    return tirage


def corrected(before: str, after: str) -> None:
    mapping = Path(MAPPING)
    text = mapping.read_text(encoding="utf-8")
    assert before in text
    mapping.write_text(text.replace(before, after, 1), encoding="utf-8")


@pytest.mark.parametrize(("before", "after", "told"), CORRECTED)
def test_whatever_is_corrected_is_told(begun: Tirage, before: str, after: str, told: str) -> None:
    assert TOLD not in begun("import negatives list.csv").out
    corrected(before, after)
    answer = begun("import negatives list.csv --apply").out
    assert TOLD in answer and told in answer, answer


def test_it_is_counted(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, listed: Listed) -> None:
    tirage("init", "studio", "--artist", "A. Example")
    monkeypatch.chdir(tmp_path / "studio")
    rows = [f"Plate {number}|2" for number in range(2, 52)] + [f"Plate {number}|2,5" for number in range(52, 200)]
    listed("Title|Thickness", *rows)
    tirage("import negatives list.csv")
    assert tirage("import negatives list.csv --apply").status == 0
    corrected('decimal = "point"', 'decimal = "comma"')
    answer = tirage("import negatives list.csv").out
    assert "(row 52: thickness none, now 2.5 mm; and so rows 53, 54 and 145 more)" in answer


def test_what_came_later_is_no_other_reading(begun: Tirage) -> None:
    for line in (
        "correct N-0001 process=ambrotype thickness=3mm --why misread",
        "place add studio/rack_9",
        "move N-0001,N-0003 studio/rack_9",
    ):
        assert begun(line).status == 0, line
    assert TOLD not in begun("import negatives list.csv").out
    corrected("[places]", '[places]\n"rack II" = "studio/rack_8"')
    assert "row 2: place rack II, now studio/rack_8; and so row 4)" in begun("import negatives list.csv").out


def test_what_was_undone_and_brought_in_anew_is_read_anew(begun: Tirage) -> None:
    corrected('decimal = "point"', 'decimal = "comma"')
    assert begun("undo").status == 0
    assert begun("import negatives list.csv --apply").status == 0
    assert TOLD not in begun("import negatives list.csv").out


def test_the_lists_of_a_studio_are_read_as_they_were(brought_in: Tirage) -> None:
    shutil.copy(HERE / "studio_negatives.csv", ".")
    brought_in("import negatives studio_negatives.csv --apply --leave-refused")
    for noun in ("editions", "prints", "negatives"):
        answer = brought_in(f"import {noun} studio_{noun}.csv")
        assert "there already" in answer.out and TOLD not in answer.out, answer.out


def test_of_prints_it_tells_who_had_them(with_editions: Tirage, listed: Listed) -> None:
    listed(
        "Edition|Number|Printed|Image|Owner|Sold|Price",
        "Low water|5/25|2001|18x24 cm|Galleria|2002|1,250 EUR",
        "Low water|6/25|2001|19x25|Quentin|2002|900 EUR",
    )
    with_editions("import prints list.csv")
    assert with_editions("import prints list.csv --apply").status == 0
    assert with_editions("party add Ada_Collector").status == 0
    assert with_editions("party correct Quentin name=Zacharias --why spelling").status == 0
    assert TOLD not in with_editions("import prints list.csv").out
    corrected("[parties]", '[parties]\n"Galleria" = "Ada_Collector"')
    answer = with_editions("import prints list.csv").out
    assert "row 2: owner Galleria, now Ada_Collector)" in answer, answer
    corrected('unit = ""', 'unit = "cm"')
    assert "row 3: image none, now 19.0 × 25.0 cm)" in with_editions("import prints list.csv").out
