"""Faces, glyphs and the fitting of text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.errors import GlyphMissing
from labels.fitting import ELLIPSIS, fit, shorten, wrap, wrap_evenly
from labels.typefaces import FACES, SANS, SERIF, SERIF_ITALIC, clean, missing_glyphs, runs, text_width

words = st.text(alphabet="abcdefgh ijk-/.ŽđΕλДж", max_size=160)
widths = st.floats(30, 400)


@pytest.mark.parametrize("face", FACES, ids=lambda face: face.name)
@pytest.mark.parametrize("text", ["Žofie Đurđević", "Ελένη", "Дарья Жукова", "203 × 254 mm · 3/25 – “Étude”…"])
def test_names_in_latin_greek_and_cyrillic_have_all_their_glyphs(face, text: str) -> None:  # type: ignore[no-untyped-def]
    assert missing_glyphs(text, face) == ()


def test_a_glyph_that_one_face_lacks_comes_from_the_other() -> None:
    text = "5\u2032 to 7\u2032"
    assert missing_glyphs(text, SANS) == ("\u2032",)
    assert [face for face, _ in runs(text, SANS)] == [SANS, SERIF, SANS, SERIF]
    assert "".join(stretch for _, stretch in runs(text, SANS)) == text


@pytest.mark.parametrize("character", ["写", "\u0001", "\U0001f4f7"])
def test_a_character_nobody_has_is_named(character: str) -> None:
    with pytest.raises(GlyphMissing, match=f"U\\+{ord(character):04X}"):
        runs(f"photo {character}", SERIF)


def test_text_is_composed_and_blanks_are_single() -> None:
    assert clean("Z\u030cofie \n\t Đurđević\u200b ") == "Žofie Đurđević"
    assert clean("20\u00a0mm") == "20\u00a0mm"


@given(words, widths)
def test_wrapped_lines_are_inside_the_measure_and_lose_nothing(text: str, width: float) -> None:
    for broken in (wrap(text, SERIF, 10, width), wrap_evenly(text, SERIF, 10, width)):
        assert all(text_width(line, SERIF, 10) <= width + 1e-6 for line in broken)
        assert "".join(broken).replace(" ", "") == clean(text).replace(" ", "")


@given(words, widths)
def test_even_lines_are_as_many_as_full_ones(text: str, width: float) -> None:
    assert len(wrap_evenly(text, SERIF, 10, width)) == len(wrap(text, SERIF, 10, width))


@given(words, widths, st.integers(1, 4))
def test_fitted_text_keeps_its_limits(text: str, width: float, lines: int) -> None:
    fitted = fit(text, SERIF_ITALIC, 10.0, 8.0, width, lines)
    assert len(fitted.lines) <= lines
    assert 8.0 - 0.2 <= fitted.size <= 10.0
    assert all(text_width(line, SERIF_ITALIC, fitted.size) <= width + 1e-6 for line in fitted.lines)


@given(words, widths)
def test_what_is_cut_says_so(text: str, width: float) -> None:
    short = shorten(text, SANS, 9, width)
    assert text_width(short, SANS, 9) <= width + 1e-6
    assert short == clean(text) or short.endswith(ELLIPSIS)


def test_fitting_shrinks_before_it_wraps_and_wraps_before_it_cuts() -> None:
    full = text_width("salt pans at low water", SERIF, 10)
    assert fit("salt pans at low water", SERIF, 10, 8, full * 0.9, 2).size == pytest.approx(9)
    assert fit("salt pans at low water", SERIF, 10, 8, full * 0.7, 2).lines == ("salt pans at", "low water")
    assert fit("salt pans at low water", SERIF, 10, 8, full * 0.5, 1).lines[-1].endswith(ELLIPSIS)
