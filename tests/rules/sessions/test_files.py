"""Day sheets as files: what is read from them, what is refused and where, and that writing loses nothing."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.errors import TirageError
from catalog.plain_text import is_seen, unseen
from catalog.rules.sessions.day_sheet import Day, PrintLine, StepLine, TestLine
from catalog.rules.sessions.files import COLUMNS, LARGEST, csv_of, read, toml_of

TOML = b"""session = 3
on = 2026-03-14
[[print]]
code = "12-14"
exposure = "14s"
[[print]]
code = "15"
kept = false
[[step]]
kind = "fix 1"
at = 15:40:00
sheets = 2
[[test]]
hypo = "none"
"""
CSV = """line,items,length,at,sheets,exposure,hypo
session,3,,,,,
day,2026-03-14,,,,,
kept,12-14,,,,14s,
void,15,,,,,
fix 1,kept,,15:40:00,2,,
test,,,,,,none
"""


def plain(day: Day) -> dict[str, object]:
    return day.model_dump()


@pytest.mark.parametrize("data", [
    CSV.encode(), CSV.replace(",", ";").encode(), b"\xef\xbb\xbf" + CSV.replace("\n", "\r\n").encode(),
    CSV.replace("kept,12-14", '"kept","12-14"').encode(),
])  # fmt: skip
def test_one_day_in_every_form(data: bytes) -> None:
    day = read("day.csv", data)
    assert plain(day) == plain(read("day.toml", TOML)) == plain(read("DAY.TOML", b"\xef\xbb\xbf" + TOML))
    assert [line.where for line in day.lines] == ["row 4", "row 5", "row 6", "row 7"]
    assert [line.where for line in read("day.toml", TOML).lines] == [
        "line 3 (print 1)", "line 6 (print 2)", "line 9 (step 1)", "line 13 (test 1)",
    ]  # fmt: skip
    assert day.print[0].words == "exposure 14s" and day.step[0].items == "kept" and day.test[0].item == "strip"


# name of the file, what is in it -> words of the refusal
REFUSED = [
    ("day.toml", b"", "is empty"),
    ("day.toml", b" \n", "is empty"),
    ("day.toml", b"# nothing\n", "holds no line"),
    ("day.toml", b"\xff\xfe", "not text in UTF-8"),
    ("day.toml", b"on = 1\0", "no text"),
    ("day.toml", b"[[step]]\nkind = 'fix'\nitems = ''", "line 3 (step 1): “items” is not as it should be"),
    ("day.csv", b"line,bath\nfix 1,b1", "row 2: It does not say what went through “fix 1”"),
    ("day.csv", b"line\n" + b"x" * LARGEST, "at most 1,000,000"),
    ("day.toml", b"on = ", "is not TOML"),
    ("day.toml", b"x = " + b"[" * 5_000, "is not TOML"),
    ("day.toml", b"session = " + b"9" * 5_000, "is not TOML"),
    ("day.toml", b"step = 3", "line 1: “step” cannot be read"),
    ("day.toml", b"step = [3]", "step 1: “step” cannot be read"),
    ("day.toml", b"\nsessions = 3", "line 2: “sessions” is not known here"),
    ("day.toml", b"session = true", "line 1: “session” is not as it should be: expected a whole number"),
    ("day.toml", b"session = 1.5", "whole number"),
    (
        "day.toml",
        b"[[step]]\nkind = 'fix'\nlenght = '1m'",
        "line 3 (step 1): “lenght” is not known here; expected kind",
    ),
    ("day.toml", b"[[step]]\nitems = '1'", "line 1 (step 1): “kind” is missing"),
    ("day.toml", b"[[step]]\nkind = 'fix'\nlength = 1.5", "line 3 (step 1): “length” is not as it should be"),
    ("day.toml", b"[[step]]\nkind = 'fix'\nsheets = -1", "line 3 (step 1): “sheets”"),
    ("day.toml", b"[[step]]\nkind = 'fix'\nnote = '''a\nb'''", "<U+000A>"),
    ("day.toml", b"[[step]]\nkind = 'fix'\nnote = '" + b"x" * 501 + b"'", "it has 501 signs"),
    (
        "day.toml",
        b"[[print]]\ncode = '1'\nkept = 'no'",
        "line 3 (print 1): “kept” is not as it should be: expected true",
    ),
    ("day.toml", b"[[test]]\nwhere = 'x'", "“where” is not known here"),
    ("day.csv", b"a,b\n1,2\n", "has a column “a”"),
    ("day.csv", b"items\n1\n", "no “line”"),
    ("day.csv", b"line,line\n1\n", "a column twice"),
    ("day.csv", b"line,items\nfix,1,2\n", "row 2: It has 3 cells under 2 columns"),
    ("day.csv", b"line,items\n\n,1\n", "row 3: It does not say in “line”"),
    ("day.csv", b"line,items,hypo\nfix,1,none\n", "row 2: “hypo” is not known here"),
    ("day.csv", b"line,items\nsession,1\nsession,2\n", "row 3: “session” stands once"),
    ("day.csv", b"line,items\nsession,x\nfix,1\n", "row 2: “session” is not as it should be"),
    ("day.csv", b'line,items\nfix,"1\n', "is not CSV"),
    ("day.csv", b'line,items\nfix,"1"2\n', "is not CSV"),
]


@pytest.mark.parametrize(("name", "data", "words"), REFUSED)
def test_what_is_refused_and_where(name: str, data: bytes, words: str) -> None:
    with pytest.raises(TirageError) as refusal:
        read(name, data)
    assert words in refusal.value.sentence and refusal.value.sentence.endswith("Nothing was entered.")
    assert not unseen(refusal.value.sentence)


@given(st.binary(max_size=300), st.sampled_from(["day.toml", "day.csv"]))
@settings(max_examples=150, deadline=None)
def test_any_bytes_are_read_or_refused_in_a_sentence(data: bytes, name: str) -> None:
    for text in (data, b"line,items\n" + data, b"[[step]]\nkind = " + data):
        try:
            read(name, text)
        except TirageError as refusal:
            assert refusal.sentence.endswith("Nothing was entered.")


signs = st.characters(codec="utf-8", categories=("L", "N", "P", "S", "Zs")).filter(is_seen)
words = st.text(signs, max_size=20).map(str.strip)
named = st.builds("{}{}".format, st.sampled_from("x3'\"#;,"), words).map(str.strip)
counts = st.integers(0, 10_000)
steps = st.builds(
    StepLine, kind=st.sampled_from(["fix 1", "wash", "dry"]), items=named, bath=words, washer=words, length=words,
    at=words, out=words, changes=st.none() | st.integers(1, 100), sheets=counts, temperature=words, note=words,
)  # fmt: skip
prints = st.builds(PrintLine, code=named, kept=st.booleans(), exposure=words, note=words)
tests = st.builds(TestLine, item=named, hypo=words, silver=words, method=words, on=words, note=words)
days = st.builds(
    Day, session=st.none() | st.integers(1, 99), on=words, print=st.lists(prints, max_size=3),
    step=st.lists(steps, max_size=3), test=st.lists(tests, max_size=2),
).filter(lambda day: bool(day.lines))  # fmt: skip


@given(days)
@settings(max_examples=100, deadline=None)
def test_what_is_written_is_read_again(day: Day) -> None:
    assert plain(read("day.toml", toml_of(day, "A head\nof two lines").encode())) == plain(day)
    assert plain(read("day.csv", csv_of(day).encode())) == plain(day)
    assert csv_of(day).startswith(",".join(COLUMNS))
