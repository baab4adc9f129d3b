"""Marks of prints and editions as people wrote them."""

import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalog.exchange.free_text.edition_marks import read_mark
from catalog.marks import parse_mark
from catalog.vocabulary import PROOF_KINDS, TRIAL_KINDS

# Text -> kind, number, of, numerals; without a doubt. The marks: the terms of the trade as printmakers' glossaries have
# them (common practice, no source); the forms of the first lines as single facts of the University of California,
# Berkeley, Graphic Arts Loan Collection.
READ = [
    ("7/70", "numbered", 7, 70, "arabic"), ("“88/125”", "numbered", 88, 125, "arabic"),
    ("No. 194", "numbered", 194, None, "arabic"),
    ("Artist's Proof", "AP", None, None, "arabic"), ("Edition of 100", "numbered", None, 100, "arabic"),
    ("3/25", "numbered", 3, 25, "arabic"), (" 3 / 25 ", "numbered", 3, 25, "arabic"),
    ("03/25", "numbered", 3, 25, "arabic"),
    ("edition 3 of 25", "numbered", 3, 25, "arabic"), ("ed. 3/25", "numbered", 3, 25, "arabic"),
    ("3 von 25", "numbered", 3, 25, "arabic"),
    ("exemplaire 3 sur 25", "numbered", 3, 25, "arabic"), ("Nr. 3", "numbered", 3, None, "arabic"),
    ("#3", "numbered", 3, None, "arabic"),
    ("1/1", "numbered", 1, 1, "arabic"), ("ed. of 25", "numbered", None, 25, "arabic"),
    ("Auflage von 25", "numbered", None, 25, "arabic"),
    ("tirage à 25 exemplaires", "numbered", None, 25, "arabic"),
    ("limited edition of 25", "numbered", None, 25, "arabic"),
    ("AP II/V", "AP", 2, 5, "roman"), ("a.p. 2/3", "AP", 2, 3, "arabic"), ("A.P.", "AP", None, None, "arabic"),
    ("AP 2 of 3", "AP", 2, 3, "arabic"), ("ap2", "AP", 2, None, "arabic"), ("A/P 2", "AP", 2, None, "arabic"),
    ("2/3 AP", "AP", 2, 3, "arabic"), ("I/V AP", "AP", 1, 5, "roman"), ("AP I", "AP", 1, None, "roman"),
    ("E.A. 2/3", "AP", 2, 3, "arabic"), ("P/A 1/3", "AP", 1, 3, "arabic"),
    ("épreuve d'artiste", "AP", None, None, "arabic"),
    ("Épreuve d’artiste 2/5", "AP", 2, 5, "arabic"), ("Künstlerexemplar", "AP", None, None, "arabic"),
    ("H.C. 1/2", "HC", 1, 2, "arabic"), ("hors commerce", "HC", None, None, "arabic"),
    ("B.A.T.", "BAT", None, None, "arabic"),
    ("bon à tirer", "BAT", None, None, "arabic"), ("P.P.", "PP", None, None, "arabic"),
    ("printer's proof 1/1", "PP", 1, 1, "arabic"),
    ("Druckerexemplar", "PP", None, None, "arabic"), ("exhibition copy", "EC", None, None, "arabic"),
    ("Ausstellungsexemplar", "EC", None, None, "arabic"), ("cancellation proof", "CP", None, None, "arabic"),
    ("work print", "work", None, None, "arabic"), ("Arbeitsabzug", "work", None, None, "arabic"),
    ("reference print", "reference", None, None, "arabic"), ("unique", "unique", None, None, "arabic"),
    ("Unikat", "unique", None, None, "arabic"), ("pièce unique", "unique", None, None, "arabic"),
    ("unlimited", "open", None, None, "arabic"), ("open edition", "open", None, None, "arabic"),
    ("unlimitierte Auflage", "open", None, None, "arabic"), ("(AP 2/3)", "AP", 2, 3, "arabic"),
    ("AP (2/3)", "AP", 2, 3, "arabic"), ("[3/25]", "numbered", 3, 25, "arabic"),
    ("3⁄25", "numbered", 3, 25, "arabic"), ("2nd AP", "AP", 2, None, "arabic"),
    ("3 out of 25", "numbered", 3, 25, "arabic"), ("edition of 25, no. 3", "numbered", 3, 25, "arabic"),
    ("Edition of 25, 3", "numbered", 3, 25, "arabic"), ("Probe", "work", None, None, "arabic"),
]  # fmt: skip

DOUBTFUL = [
    ("3/25 + 2 AP", "numbered", 3, 25, "2 AP"), ("edition of 25 + 5 AP", "numbered", None, 25, "5 AP"),
    ("edition of 250 signed and 26 artist's proofs", "numbered", None, 250, "26 artist's proofs"),
    ("25 + 5 AP", "numbered", None, 25, "5 AP"), ("3/25 + 2 APs", "numbered", 3, 25, "2 APs"),
    ("3/25 (+2 AP)", "numbered", 3, 25, "2 AP"), ("not numbered", "open", None, None, "open edition"),
    ("?/100", "numbered", None, 100, "not known"), ("unnumbered", "open", None, None, "open edition"),
    ("3", "numbered", 3, None, "not the size"), ("Auflage 25", "numbered", None, 25, "not the number"),
    ("Unsigned. Edition of 100.", "numbered", None, 100, "Unsigned"), ("signed, 3/25", "numbered", 3, 25, "signed"),
    ("Annotated “Epreuve d'artiste.”", "AP", None, None, "Annotated"),
]  # fmt: skip

NOT_READ = [
    ("3. Mär", "date"), ("25-Mar", "date"), ("Mar-25", "date"), ("2025-03-01", "date"), ("2025-03-01 00:00:00", "date"),
    ("03.25.2025", "date"), ("3/25/2025", "date"), ("1. janv", "date"), ("25. Mai", "date"), ("0.12", "divided"),
    ("0,12", "divided"),
    ("45741", "no print bears"), ("0/25", "no print bears"), ("26/25", "above its count"),
    ("AP 4/3", "above its count"),
    ("III/V", "Roman"), ("AP II/5", "mixes"), ("AP1/AP2/AP3", "not understood"),
    ("Signed and numbered.", "not understood"),
    ("3 of a series", "not understood"), ("Meder 3 c", "not understood"), ("EV2", "not understood"), ("", "Nothing"),
    ("third state (of five)", "not understood"), ("work print 3", "not understood"), ("3/25 or 4/25", "not understood"),
    ("2nd ed. 3/25", "not understood"), ("3/25 (II)", "not understood"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind", "number", "of", "numerals"), READ)
def test_marks_are_read(text: str, kind: str, number: int | None, of: int | None, numerals: str) -> None:
    assert read_mark(text) == (kind, number, of, numerals, (), "")


@pytest.mark.parametrize(("text", "kind", "number", "of", "doubt"), DOUBTFUL)
def test_a_choice_is_told(text: str, kind: str, number: int | None, of: int | None, doubt: str) -> None:
    reading = read_mark(text)
    assert (*reading[:3], reading.why_not) == (kind, number, of, "")
    assert any(doubt in said for said in reading.doubts), reading.doubts


@pytest.mark.parametrize(("text", "reason"), NOT_READ)
def test_what_is_not_understood_gives_no_mark(text: str, reason: str) -> None:
    reading = read_mark(text)
    assert reading[:5] == ("", None, None, "arabic", ())
    assert reason in reading.why_not


marks = st.builds(
    "{}{}{}{}".format, st.sampled_from(["", "AP", "A.P. ", "ea ", "HC", "P/P ", "B.A.T. ", "EC-", "c.p."]),
    st.sampled_from(["", "1", "2", "03", "II", "iv", "25"]), st.sampled_from(["", "/", " / "]),
    st.sampled_from(["", "3", "V", "25"]),
)  # fmt: skip


@given(marks)
def test_what_the_strict_reading_takes_is_read_alike(text: str) -> None:
    strict, reading = parse_mark(text), read_mark(text)
    if strict and not reading.why_not:
        assert reading[:2] == strict
    if strict and reading.why_not:  # numbers above their count, of both numerals, or none
        assert any(
            word in reading.why_not for word in ("above its count", "mixes", "no print bears", "Nothing", "date")
        )


@given(st.text(max_size=40))
@settings(max_examples=300)
def test_any_text_is_a_mark_or_none(text: str) -> None:
    reading = read_mark(text)
    assert bool(reading.why_not) == (reading.kind == "")
    assert reading.kind in ("", "numbered", "unique", "open", *TRIAL_KINDS, *PROOF_KINDS)


@pytest.mark.parametrize("sign", ["1", "I", " ", "/", "a.", "signed ", "+1 a", "and "])
def test_ten_thousand_signs_take_no_more_than_a_moment(sign: str) -> None:
    started = time.perf_counter()
    read_mark(sign * 10_000)
    read_mark((sign * 200)[:200])
    assert time.perf_counter() - started < 1
