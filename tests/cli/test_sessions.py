"""A session on paper and back: planned, typed in from a terminal or a pipe, read from a day sheet, taken back."""

import io
import sys
from pathlib import Path

import pypdf
import pytest

from tests.cli.conftest import Tirage
from tests.store.conftest import dump, plain

# As a person answers, in the order of the sheet: four sheets of paper and a strip, one sheet not kept.
ANSWERS = "\n".join(
    [
        *("", "7-8,10", "", "7-8: 14s", "", "8: sky held back", ""),  # day, kept, strip, exposures, notes
        *("kept +2", "", "1", "15:00"),  # fix 1: which, bath, how long, at
        "",  # no second fixer
        *("y", "15:20", "16:20"),  # wash: which, in, out
        *("", "", "", ""),  # no wash aid, no toning, no final wash, no other line
        *("none", "none", "", ""),  # hypo and silver of the strip, on that day, no other test
        "y",  # enter it
        "",
    ]
)


@pytest.fixture
def planned(studio: Tirage) -> Tirage:
    told = studio("session sheet e1 4 --strip --for 2026-03-14 --on 2026-03-13")
    assert told.status == 0 and "P-000007 to P-000010, K-0001 for E-0001 on warm12" in told.out
    return studio


def answer(monkeypatch: pytest.MonkeyPatch, text: str) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO(text))


def rows() -> dict[str, list[tuple[object, ...]]]:
    connection = plain(Path())
    try:
        return dump(connection)
    finally:
        connection.close()


def test_the_sheet_for_the_sink(planned: Tirage) -> None:
    pdf = Path("out/session-1.pdf")
    reader = pypdf.PdfReader(pdf)
    text = reader.pages[0].extract_text()
    assert len(reader.pages) == 1
    for words in ("Session 1", "Low water", "P-000007", "P-000010", "K-0001", "B-0001", "14 March 2026", "Final wash"):
        assert words in text
    before = pdf.read_bytes()
    assert planned("session sheet --again 1").status == 0 and pdf.read_bytes() == before
    assert planned("recipe", "record", "1", "--expose", "soft 10s", "--on", "2026-03-13").status == 0
    assert planned("session sheet --again 1").status == 0
    assert "Recipe: soft 10 s" in pypdf.PdfReader(pdf).pages[0].extract_text()
    assert "open" in planned("session list").out and "E-0001" in planned("session list --json").out
    assert planned("session show 1").out.count("open") == 5
    assert "not entered yet" in planned("where 8").err and "tirage session enter 1" in planned("sign 7-8").err
    assert "Session 1 of E-0001, 14 March 2026, is not entered: 5 codes" in planned("due").out


def test_it_is_typed_in_and_taken_back(planned: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    before = planned("session show 1").out
    answer(monkeypatch, ANSWERS)
    told = planned("session enter")
    assert told.status == 0, told.err
    for words in (
        "Kept of P-000007 to P-000010 [all]:",
        "Fix 1: bath [B-0001]:",
        "Kept of E-0001: P-000007, P-000008, P-000010, K-0001.",
        "Not kept, so void for ever: P-000009.",
        "P-000007, P-000008, P-000010, K-0001 and 2 without a code: fix in alkaline rapid fixer (B-0001), 1 min, 15:00",
        "out of “slots1” at 16:20, washed 60 min.",
        "K-0001: hypo none, silver none.",
    ):
        assert words in told.out, told.out
    shown = planned("session show 1").out
    assert shown.count("kept") == 4 and shown.count("void") == 1 and "exposure 14s; sky held back" in shown
    assert "spot-tested" in planned("print show 8").out
    assert "P-000009 is void" in planned("print show 9").err
    assert "P-000010: 3/25" in planned("sign last --on 2026-03-15").out
    assert (
        "entered already" in planned("session enter 1").err and "No session is waiting" in planned("session enter").err
    )
    assert planned("check").status == 0
    for _ in range(2):
        assert planned("undo").status == 0
    assert planned("session show 1").out == before, "the codes are open again"
    answer(monkeypatch, ANSWERS)
    assert planned("session enter 1").status == 0
    assert planned("check").status == 0
    assert "P-000011" in planned("print make e1 1").out, "no code is given twice"


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (("7-8,10", "7-8,11"), "Kept of P-000007 to P-000010: “P-000011” is not a code of this session"),
        (("kept +2", "9"), "Fix 1: which prints, +N without a code: “P-000009” is not a sheet that was kept"),
        (("15:00", "3 pm"), "Fix 1: at: “3 pm” is not a time of day"),
        (("none\nnone", "mauve\nnone"), "K-0001, hypo: “mauve” is not a result"),
        (("1\n", "1x\n"), "Fix 1: how long"),
        (("sky held", "sky\x1b held"), "Note, such as 13: sky held back: "),
    ],
)  # fmt: skip
def test_a_wrong_answer_from_a_pipe(
    planned: Tirage, monkeypatch: pytest.MonkeyPatch, wrong: tuple[str, str], words: str
) -> None:
    before, file = rows(), Path("catalog.db").read_bytes()
    answer(monkeypatch, ANSWERS.replace(*wrong, 1))
    told = planned("session enter 1")
    assert told.status == 1 and words in told.err and "Nothing was entered." in told.err
    assert rows() == before and Path("catalog.db").read_bytes() == file


def test_what_was_typed_is_kept_when_it_does_not_fit(planned: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    before = rows()
    answer(monkeypatch, ANSWERS.replace("15:20", "2026-03-01 15:20"))
    told = planned("session enter 1")
    assert told.status == 1 and told.err.startswith("tirage: Wash: ") and "mend out/session-1.toml" in told.err
    assert rows() == before
    sheet = Path("out/session-1.toml")
    mended = sheet.read_text(encoding="utf-8").replace("2026-03-01 15:20", "15:20")
    sheet.write_text(mended, encoding="utf-8")
    assert planned("session enter --file out/session-1.toml").status == 0
    assert planned("session show 1").out.count("kept") == 4


def test_no_and_no_answer_change_nothing(planned: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    before, file = rows(), Path("catalog.db").read_bytes()
    answer(monkeypatch, ANSWERS.removesuffix("y\n") + "\n")
    told = planned("session enter 1")
    assert told.status == 0 and "Nothing was entered. What you typed is kept" in told.out
    answer(monkeypatch, "\n\n")
    assert planned("session enter 1").status == 130, "the answers end, as with Ctrl-C"
    assert rows() == before and Path("catalog.db").read_bytes() == file


@pytest.mark.parametrize("name", ["day.toml", "day.csv"])
def test_a_day_sheet_to_fill_in(studio: Tirage, name: str) -> None:
    told = studio(f"session sheet e1 3 --strip --for 2026-03-14 --file {name} --on 2026-03-13")
    assert told.status == 0 and f"tirage session enter --file {name}" in told.out
    before = rows()
    assert "left as it is" in studio(f"session sheet e1 1 --file {name}").err, "it is not written over"
    look = Path("settings.toml").read_text("utf-8")
    Path("settings.toml").write_text('paper = "A3"', "utf-8")
    assert studio("session sheet e1 1").status == 1
    Path("settings.toml").write_text(look, "utf-8")
    assert rows() == before, "no code is given where no sheet comes of it"
    text = Path(name).read_bytes().decode()
    if name == "day.csv":
        assert studio(f"session enter --file {name}").status == 1, "a row that nobody filled in is refused"
        text = text.replace("kept,P-000008", "void,P-000008").replace("fix 1,,B-0001,,", "fix 1,kept,B-0001,,1m")
        stages = ("fix 2,", "wash", "tone,", "final wash,")
        text = "".join(row for row in text.splitlines(keepends=True) if not row.startswith(stages))
    else:
        before, _, after = text.partition('# [[step]]\n# kind = "fix 1"')
        block, end, rest = after.partition("\n\n")
        block = block.replace("# ", "").replace('length = ""', 'length = "1m"')
        text = f'{before}[[step]]\nkind = "fix 1"{block}{end}{rest}'
        text = text.replace('code = "P-000008"\nkept = true', 'code = "P-000008"\nkept = false')
    Path(name).write_bytes(text.encode())
    told = studio(f"session enter --file {name}")
    assert told.status == 0, told.err
    assert "Not kept, so void for ever: P-000008." in told.out and "fixer (B-0001), 1 min" in told.out
    assert "tone" not in told.out and "wash" not in told.out, "what nobody filled in is no claim"


def test_enter_alone_claims_no_load(planned: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    planned("bath", "mix", "toner", "selenium toner", "--on", "2026-03-13")
    planned("bath", "mix", "toner", "gold toner", "--on", "2026-03-13")
    before = rows()["step"]
    answer(monkeypatch, "\n" * 15 + "y\n")
    told = planned("session enter 1")
    assert told.status == 0 and "Kept of E-0001: P-000007 to P-000010, K-0001." in told.out, told.out + told.err
    assert "fix" not in told.out.split("To be entered:")[1] and rows()["step"] == before
    assert planned("undo").status == 0
    answer(monkeypatch, "\n" * 15 + "\n")
    assert "Nothing was entered." in planned("session enter 1").out, "the last question needs a y"


def test_of_two_toners_one_is_named(planned: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    planned("bath", "mix", "toner", "selenium toner", "--on", "2026-03-13")
    planned("bath", "mix", "toner", "gold toner", "--on", "2026-03-13")
    answers = ["", "", "", "", "", "", "", "", "", "kept", "B-0002", "3", "", "", "", "", "", "", "y", ""]
    answer(monkeypatch, "\n".join(answers))
    told = planned("session enter 1")
    assert "Tone: bath, of B-0002 selenium toner, B-0003 gold toner:" in told.out, told.out + told.err
    assert told.status == 0 and "tone in selenium toner (B-0002), 3 min" in told.out, told.err


def test_files_that_are_no_day_sheets(planned: Tirage) -> None:
    before, file = rows(), Path("catalog.db").read_bytes()
    Path("binary.toml").write_bytes(bytes(range(256)))
    Path("other.toml").write_text('[[print]]\ncode = "7-10,k1"\n\n[[step]]\nkind = "fix"\nlenght = "1m"\n', "utf-8")
    Path("step.csv").write_text('line,items\nkept,"7-10,k1"\nfix,99\n', "utf-8")
    for name, words in (
        ("binary.toml", "not text in UTF-8"),
        ("missing.toml", "cannot be read"),
        (".", "cannot be read"),
        ("other.toml", "line 6 (step 1): “lenght” is not known here"),
        ("step.csv", "row 3: Nothing here has the code “99”"),
    ):
        told = planned("session", "enter", "--file", name)
        assert told.status == 1 and words in told.err, told.err
    assert rows() == before and Path("catalog.db").read_bytes() == file


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("session sheet", "expected one of the two"),
        ("session sheet e1", "expected one of the two"),
        ("session sheet e1 3 --file day.xlsx", "another ending than .toml or .csv"),
        ("session sheet e1 0", "“0” is no number of sheets"),
        ("session sheet e1 99", "“99” is no number of sheets"),
        ("session sheet e1 many", "“many” is no number of sheets"),
        ("session sheet 1 3", "P-000001 is a print"),
        ("session sheet --again 9", "no session “9”"),
        ("session sheet --again 1 --strip", "expected one of the two"),
        ("session sheet e1 3 --paper other", "no paper “other”"),
        ("session sheet e1 3 --for 2026-03-01", "no print of it can be of 1 March 2026"),
        ("session show 9", "no session “9”"),
        ("session enter 9", "no session “9”"),
    ],
)
def test_what_is_refused(planned: Tirage, line: str, words: str) -> None:
    before = rows()
    told = planned(line)
    assert told.status == 1 and words in told.err
    assert rows() == before
