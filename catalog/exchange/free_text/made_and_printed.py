"""Two dates in one text, that of the negative and that of its print: “1933, printed 1979”."""

from typing import NamedTuple

from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.date_ranges import Span
from catalog.exchange.free_text.date_spans import span
from catalog.exchange.free_text.date_tokens import NotReadError, Token

_VINTAGE = "“vintage” is not kept: it says that the print is about as old as its negative."
_MARKERS = (is_.PRINTED, is_.MADE, is_.SHOWN, is_.PRINTED_LATER)


class TwoDates(NamedTuple):
    """The date of making and that of printing as EDTF with doubts, each None where the text has none."""

    made: Span | None
    printed: Span | None
    doubts: tuple[str, ...] = ()


def two_dates(found: list[Token], day_first: bool | None) -> TwoDates | None:
    """Part tokens at the words for negative and print, and read each part; None where a part is no date."""
    named = [token.written for token in found if token.kind in (is_.PERIOD, is_.VINTAGE)]
    doubts = tuple(f"The name of the “{word}” is not kept." if word != "vintage" else _VINTAGE for word in named)
    found = _settled([token for token in found if token.kind not in (is_.PERIOD, is_.VINTAGE)])
    read = _read(found, day_first) if found else None
    return read._replace(doubts=(*read.doubts, *doubts)) if read else None


def _read(found: list[Token], day_first: bool | None) -> TwoDates | None:
    markers = [place for place, token in enumerate(found) if token.kind in _MARKERS]
    if not markers:
        one = span(found, day_first)
        return TwoDates(one, None) if one else None
    # A date stands after its word (“printed 1979”) or before it (“1979 print”); the first token tells which.
    if found[0].kind in _MARKERS:
        starts = markers
    elif (
        all(token.kind != is_.COMMA for token in found[: markers[0]])
        and found[-1].kind in _MARKERS[:2]
        and len(markers) > 1
    ):
        return _dates_first(found, markers, day_first)
    else:
        starts = [0, *markers]
    parts = [found[start:end] for start, end in zip(starts, [*starts[1:], len(found)], strict=True)]
    return _combined([_labelled(part, day_first) for part in _glued(parts)])


def _settled(found: list[Token]) -> list[Token]:
    """“1933, probably printed 1934” casts doubt on the printing; the dash of “1933 - printed 1934” is no open end."""
    settled: list[Token] = []
    for token in found:
        if token.kind in (is_.PRINTED, is_.PRINTED_LATER) and len(settled) > 1:
            if settled[-1].kind == is_.TO and settled[-1].written in "-–":
                settled.pop()
            elif settled[-1].kind in (is_.UNCERTAIN, is_.ABOUT) and (
                settled[-2].kind == is_.COMMA or settled[-1].kind == is_.UNCERTAIN and settled[-1].written != "?"
            ):
                settled.insert(len(settled) - 1, token)
                continue
        settled.append(token)
    return settled


def _glued(parts: list[list[Token]]) -> list[list[Token]]:
    """A word alone and the part after it belong together: “negative made 1933”, “1933 negative”."""
    glued: list[list[Token]] = []
    for part in parts:
        bare = [token for token in part if token.kind not in (is_.COMMA, is_.SLASH)]
        if glued and len(bare) == 1 and bare[0].kind == is_.MADE and glued[-1][0].kind not in _MARKERS:
            glued[-1] = [bare[0], *glued[-1]]
        elif glued and len(glued[-1]) == 1 and glued[-1][0].kind == part[0].kind:
            glued[-1] = part
        else:
            glued.append(part)
    return glued


def _dates_first(found: list[Token], markers: list[int], day_first: bool | None) -> TwoDates | None:
    """“1933 negative, 1979 print”."""
    starts = [0, *(place + 1 for place in markers[:-1])]
    parts = [[found[end], *found[start:end]] for start, end in zip(starts, markers, strict=True)]
    return _combined([_labelled(part, day_first) for part in parts])


def _labelled(part: list[Token], day_first: bool | None) -> tuple[str, Span | None, str]:
    """The letter of a part, its date (None where the word stands alone), and the word."""
    label = part[0].kind if part[0].kind in _MARKERS else is_.MADE
    word = part[0].written
    rest = part[1:] if part[0].kind in _MARKERS else part
    while rest and rest[-1].kind in (is_.COMMA, is_.SLASH):
        rest = rest[:-1]
    while rest and rest[0].kind in (is_.COMMA, is_.SLASH):
        rest = rest[1:]
    if not rest or label == is_.PRINTED_LATER and all(token.kind == is_.UNCERTAIN for token in rest):
        return label, None, word + "?" * bool(rest)
    one = span(rest, day_first)
    if one is None:
        raise NotReadError(f"“{' '.join(token.written for token in rest)}” is not understood as a date.")
    return label, one, word


def _combined(parts: list[tuple[str, Span | None, str]]) -> TwoDates | None:
    made = [one for label, one, _ in parts if label == is_.MADE and one]
    printed = [one for label, one, _ in parts if label in (is_.PRINTED, is_.PRINTED_LATER) and one]
    shown = [word for label, _, word in parts if label == is_.SHOWN]
    later = [label for label, one, _ in parts if label == is_.PRINTED_LATER]
    if len(made) > 1 or len(printed) > 1:
        return None
    if any(label == is_.PRINTED and one is None for label, one, _ in parts):
        return None
    doubts = tuple(f"What is said of “{word}” is not kept." for word in shown)
    if later and not printed:
        if not made or made[0].ends is None:
            return None
        last = made[0].ends[1]
        said = f"“printed later” was read as printed after {last}."
        perhaps = ("That it was printed later is in doubt.",) * any(word.endswith("?") for _, _, word in parts)
        printed = [Span(f"{last}/", (said, *perhaps))]
    if shown and not made and not printed:
        raise NotReadError(f"“{shown[0]}” says when it was shown or published, not when it was made.")
    if not made and not printed:
        return None
    return TwoDates(made[0] if made else None, printed[0] if printed else None, doubts)
