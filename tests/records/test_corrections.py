"""Setting a field right: what may change, when, and what stays readable."""

import os
import shutil
from pathlib import Path

import pytest

from catalog.cli.main import run
from catalog.records.correction_fields import FIELDS

LINES = (
    ["negative", "add", "Pond", "--made", "2026-01-02", "--size", "20x25cm"],
    ["paper", "add", "warm", "a warm fibre paper"],
    ["edition", "declare", "n1", "5", "--on", "2026-03-01"],
    ["party", "add", "B. Buyer"],
    ["promise", "e1:2", "--to", "B. Buyer"],
    ["print", "make", "e1", "4", "--on", "2026-03-02"],
    ["sign", "1", "--as", "1", "--anyway", "x"],
    ["sign", "2", "--as", "2", "--anyway", "x"],
    ["bath", "mix", "fixer", "rapid fixer"],
    ["sell", "1", "B. Buyer", "9EUR", "--anyway", "x"],
    ["edition", "declare", "n1", "3", "--ap", "2", "--process", "salted paper print"],
)


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = tmp_path_factory.mktemp("corrections") / "catalog"
    assert run(["init", str(folder), "--artist", "A. Maker"]) == 0
    for line in LINES:
        assert run(["--catalog", str(folder), *line]) == 0, line
    return folder


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(built, tmp_path / "catalog"))


def correct(folder: Path, code: str, *values: str, why: str = "slip") -> int:
    return run(["--catalog", str(folder), "correct", code, *values, "--why", why])


GOOD = [
    ("n1", "title=Weir"),
    ("n1", "series=Salt"),
    ("n1", "made=c. 1998"),
    ("n1", "made="),
    ("n1", "made-where=Vellmar"),
    ("n1", "process=dry plate"),
    ("n1", "size=8x10in"),
    ("n1", "thickness=2mm"),
    ("n1", "note=a = b"),
    ("e1", "title=Weir"),
    ("e2", "size=10"),
    ("e2", "size=open"),
    ("e2", "image=30x40cm"),
    ("e1", "toning=gold"),
    ("e2", "numerals=roman"),
    ("e2", "disclosure=A second run, on other paper"),
    ("e2", "process=albumen print"),
    ("2", "paper=warm"),
    ("2", "made=2026-03-01"),
    ("2", "designation=3"),
    ("2", "signed=2026-03-09"),
    ("2", "image=20.2x25cm"),
    ("2", "sheet=40x50cm"),
    ("b1", "dilution=1+9"),
    ("b1", "volume=2l"),
]
REFUSED = [
    ("n1", "title=Pond", "already"),
    ("n1", "title=", "cannot be empty"),
    ("n1", "colour=red", "expected one of title"),
    ("n1", "made=someday", "not"),
    ("e1", "size=6", "fixed"),
    ("e1", "image=30x40cm", "frozen"),
    ("e1", "process=x", "erratum"),
    ("e1", "numerals=roman", "erratum"),
    ("e1", "disclosure=said late", "erratum"),
    ("e2", "numerals=greek", "arabic or roman"),
    ("e2", "process=gelatin silver contact print", "the same prints twice"),
    ("1", "designation=3", "changed hands"),
    ("1", "image=40x50cm", "changed hands"),
    ("1", "sheet=40x50cm", "changed hands"),
    ("2", "image=40x50cm", "edition of one size"),
    ("e2", "size=²", "a whole number"),
    ("2", "designation=1", "given"),
    ("2", "designation=9", "1 to 5"),
    ("2", "designation=AP1", "declares no"),
    ("2", "designation=2", "already"),
    ("3", "designation=3", "Sign it"),
    ("2", "paper=nowhere", "no paper"),
    ("n1", "title", "FIELD=VALUE"),
    ("3", "signed=2026-01-01", "not signed"),
]


@pytest.mark.parametrize(("code", "value"), GOOD)
def test_corrected(folder: Path, code: str, value: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert correct(folder, code, value) == 0, capsys.readouterr().err
    assert run(["--catalog", str(folder), "history", code]) == 0
    assert "corrected from" in capsys.readouterr().out


@pytest.mark.parametrize(("code", "value", "words"), REFUSED)
def test_refused(folder: Path, code: str, value: str, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert correct(folder, code, value) == 1
    assert words in capsys.readouterr().err


def test_a_reason_is_needed_and_all_or_nothing(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert correct(folder, "n1", "title=Weir", why="") == 1
    assert "--why" in capsys.readouterr().err
    assert correct(folder, "n1", "title=Weir", "colour=red") == 1
    assert run(["--catalog", str(folder), "negative", "show", "n1"]) == 0
    assert "Weir" not in capsys.readouterr().out


def test_a_mistyped_number_is_free_again_or_promised_as_before(
    folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert correct(folder, "2", "designation=3") == 0
    capsys.readouterr()
    assert run(["--catalog", str(folder), "sign", "3", "--anyway", "x"]) == 0
    assert "4/5" in capsys.readouterr().out  # 2 is promised again, and skipped
    assert correct(folder, "3", "designation=5") == 0
    capsys.readouterr()
    assert run(["--catalog", str(folder), "sign", "4", "--anyway", "x"]) == 0
    assert "4/5" in capsys.readouterr().out


def test_a_cancellation_proof_of_a_plate_that_is_gone_becomes_no_other_print(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    at = ["--catalog", str(tmp_path / "c")]
    assert run(["init", str(tmp_path / "c"), "--artist", "A. Maker"]) == 0
    for line in (
        ["negative", "add", "Pond", "--made", "2026-01-02"],
        ["edition", "declare", "n1", "5", "--cp", "1", "--on", "2026-01-03"],
        ["negative", "state", "n1", "cancelled", "--on", "2026-01-04"],
        ["print", "make", "e1", "--cancellation", "--on", "2026-01-05"],
        ["sign", "1", "--anyway", "x"],
    ):
        assert run([*at, *line]) == 0, capsys.readouterr().err
    capsys.readouterr()
    assert run([*at, "correct", "1", "designation=3", "--why", "slip"]) == 1
    told = capsys.readouterr().err
    assert "N-0001 is cancelled since 4 January 2026" in told and "cancellation proof alone" in told
    assert run([*at, "print", "show", "1"]) == 0 and "CP" in capsys.readouterr().out


def test_every_field_is_named_in_the_refusal(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert correct(folder, "2", "colour=red") == 1
    told = capsys.readouterr().err
    assert all(field in told for field in FIELDS["print"])
