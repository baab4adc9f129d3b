"""Ranges, limits and choices out of tokens: “June 9-11, 1953”, “before 1932”, “1889 or 1890”."""

from catalog.date_grammar import bounds
from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.date_pieces import Piece, piece
from catalog.exchange.free_text.date_ranges import Span, completed_pair, joined
from catalog.exchange.free_text.date_tokens import Token, shape

# What stands first, and the EDTF it makes of one date; the same forms that `catalog.date_words` reads and writes.
_LIMITS = {is_.BEFORE: "/{}", is_.AFTER: "{}/", is_.NOT_AFTER: "[..{}]", is_.NOT_BEFORE: "[{}..]",
           is_.UNTIL: "../{}", is_.SINCE: "{}/.."}  # fmt: skip


def span(found: list[Token], day_first: bool | None) -> Span | None:
    """The date, range, limit or choice that all the tokens say, or None."""
    found = _trimmed(found)
    if not found:
        return None
    one = piece(found, day_first)
    if one and one.is_whole:
        return _of_piece(one)
    for read in (_limit, _open_end, _between, _listed, _range, _choice, _all_of):
        if result := read(found, day_first):
            return result
    return None


def _trimmed(found: list[Token]) -> list[Token]:
    while found and found[0].kind in (is_.COMMA, is_.ONWARDS):
        found = found[1:]
    while found and found[-1].kind == is_.COMMA:
        found = found[:-1]
    return found


def _of_piece(one: Piece) -> Span:
    if one.either:
        return Span(f"[{','.join(sorted((one.edtf, one.either + one.mark)))}]", one.doubts)
    if one.ends:
        return Span(f"{one.first}/{one.last}", one.doubts, (one.first, one.last))
    return Span(one.edtf, one.doubts, (one.edtf, one.edtf))


def _limit(found: list[Token], day_first: bool | None) -> Span | None:
    soon = found[0].written if found[0].kind == is_.SHORTLY else ""
    found = found[bool(soon) :]
    if not found:
        return None
    if len(found) > 1 and found[0].kind in (is_.ABOUT, is_.UNCERTAIN) and found[1].kind in _LIMITS:
        found = [found[1], found[0], *found[2:]]  # “perhaps before 1850”: what is in doubt is the year
    # “1860 avant”, “1910 après”: some French lists put the word after the year.
    if found[-1].written.lower() in ("avant", "après") and found[0].kind not in _LIMITS:
        found = [found[-1], *found[:-1]]
    # “to 1870”, “bis 1870”
    kind = is_.UNTIL if found[0].kind == is_.TO and found[0].written.lower() in ("to", "bis") else found[0].kind
    if kind in _LIMITS:
        one = _single(found[1:], day_first)
        form = _LIMITS[kind]
    elif found[-1].kind == is_.ONWARDS:
        one, form = _single(found[found[0].kind == is_.FROM : -1], day_first), "{}/.."
    elif found[-1].kind in (is_.LATER, is_.EARLIER):
        one, form = _single(found[:-1], day_first), "[{}..]" if found[-1].kind == is_.LATER else "[..{}]"
    else:
        return None
    if one is None:
        return None
    doubts = (f"“{soon}” is not kept.",) if soon else ()
    return Span(form.format(one.edtf), (*one.doubts, *doubts))


def _single(found: list[Token], day_first: bool | None) -> Piece | None:
    one = piece(found, day_first)
    return one if one and one.is_whole and not one.ends and not one.either else None


def _open_end(found: list[Token], day_first: bool | None) -> Span | None:
    """“1803-” and “-1906”: open on one side."""
    if found[-1].kind == is_.TO and found[-1].written in "-–" and (one := _single(found[:-1], day_first)):
        return Span(f"{one.edtf}/..", (*one.doubts, f"The dash at the end was read as from {one.edtf} on."))
    if found[0].kind == is_.TO and found[0].written in "-–" and (one := _single(found[1:], day_first)):
        return Span(f"../{one.edtf}", (*one.doubts, f"The dash at the start was read as until {one.edtf}."))
    return None


def _between(found: list[Token], day_first: bool | None) -> Span | None:
    letters = shape(found)
    # “1923 entre,1926 et”
    if is_.BETWEEN in letters[1:] and letters.endswith(is_.AND):
        middle = letters.index(is_.BETWEEN)
        return joined(found[:middle], found[middle + 1 : -1], day_first, "between")
    # “after 1850, before 1860”, “not before 1850 and not after 1860”
    ends = [place for place, letter in enumerate(letters) if letter in (is_.BEFORE, is_.NOT_AFTER)]
    if letters[0] in (is_.AFTER, is_.NOT_BEFORE) and len(ends) == 1:
        left = found[1 : ends[0]]
        left = left[:-1] if left and left[-1].kind == is_.AND else left
        return joined(left, found[ends[0] + 1 :], day_first, "between")
    about = letters.startswith(is_.ABOUT + is_.BETWEEN)
    if not letters.startswith(is_.BETWEEN) and not about:
        return None
    inside = found[1 + about :]
    for place, token in enumerate(inside):
        if token.kind in (is_.AND, is_.TO):
            left = [found[0], *inside[:place]] if about else inside[:place]
            if result := joined(left, inside[place + 1 :], day_first, "dash" if about else "between"):
                return result
    return None


def _range(found: list[Token], day_first: bool | None) -> Span | None:
    if found[0].kind == is_.FROM:
        found = found[1:]
    for place, token in enumerate(found):
        if token.kind not in (is_.TO, is_.SLASH) or not 0 < place < len(found) - 1:
            continue
        how = "slash" if token.kind == is_.SLASH else "dash" if token.written in "-–" else "word"
        if result := joined(found[:place], found[place + 1 :], day_first, how):
            return result
    return None


def _choice(found: list[Token], day_first: bool | None) -> Span | None:
    """“1889 or 1890”: one of them."""
    if is_.OR not in shape(found):
        return None
    for kinds in ((is_.OR,), (is_.OR, is_.COMMA)):  # “1912, 1913 or 1914”
        places = [place for place, token in enumerate(found) if token.kind in kinds]
        if members := _members(found, places, day_first):
            return _set("[]", *members, "one of them")
    return None


def _all_of(found: list[Token], day_first: bool | None) -> Span | None:
    """“1912 and 1913”, “1704, 1708”, “c.1803, c.1805-10”: each of them."""
    for kinds in ((is_.AND,), (is_.COMMA,), (is_.SLASH,), (is_.AND, is_.COMMA)):
        places = [place for place, token in enumerate(found) if token.kind in kinds]
        members = _members(found, places, day_first) if places else None
        if members:
            said = () if kinds == (is_.AND,) else ("Several dates stand here; they were read as all of them.",)
            return _set("{}", members[0], (*members[1], *said), "all of them")
    return None


def _set(brackets: str, members: list[str], doubts: tuple[str, ...], what: str) -> Span:
    """A set of EDTF. A range in doubt has no place in one: then the time from the first to the last is read."""
    if not any(".." in member and set(member) & set("~?%") for member in members):
        return Span(brackets[0] + ",".join(members) + brackets[1], doubts)
    ends = [end for member in members for end in member.split("..")]
    first, last = min(ends, key=lambda end: bounds(end)[0]), max(ends, key=lambda end: bounds(end)[1])
    said = f"Several dates stand here, {what} meant; the time from the first to the last was read."
    return Span(f"{first}/{last}", (*(doubt for doubt in doubts if not doubt.startswith("Several")), said))


def _members(
    found: list[Token], places: list[int], day_first: bool | None, lend: bool = True
) -> tuple[list[str], tuple[str, ...]] | None:
    """The dates between the tokens at `places` as members of an EDTF set, and their doubts; None if one is no date."""
    edges = zip([0, *(place + 1 for place in places)], [*places, len(found)], strict=True)
    parts = [_trimmed(found[start:end]) for start, end in edges]
    if not all(parts):
        return None
    if lend and len(parts) == 2 and (pair := _two_members(parts, day_first)):
        return pair
    spans = [span(part, day_first) for part in parts]
    if any(one is None or one.ends is None for one in spans):
        return None
    members = ["..".join(dict.fromkeys(one.ends)) for one in spans if one and one.ends]
    return members, tuple(said for one in spans if one for said in one.doubts)


def _two_members(parts: list[list[Token]], day_first: bool | None) -> tuple[list[str], tuple[str, ...]] | None:
    """Two dates of which one may lend the other its month or year: “July and August 1912”."""
    first, second = piece(parts[0], day_first), piece(parts[1], day_first)
    pair = completed_pair(first, second) if first and second else None
    if not pair or any(one.ends or one.either for one in pair):
        return None
    first, second = pair
    doubts = (*first.doubts, *second.doubts)
    if first.month and second.is_year:  # “April 1912 or 1913”
        doubts = (*doubts, f"All of {second.year} was read; the month may be meant of it too.")
    if first.mark and not second.mark and parts[0][0].kind in (is_.ABOUT, is_.UNCERTAIN):
        second = second._replace(mark=first.mark)
        doubts = (*doubts, "The doubt before the first date was read for both.")
    return [first.edtf, second.edtf], doubts


def _listed(found: list[Token], day_first: bool | None) -> Span | None:
    """“one of 1863, 1870” and “all of 1863 to 1865, 1870”: how this catalog writes a set."""
    if found[0].kind not in (is_.ONE_OF, is_.ALL_OF):
        return None
    inside = found[1:]
    places = [place for place, token in enumerate(inside) if token.kind == is_.COMMA]
    members = _members(inside, places, day_first, lend=False)
    if not members:
        return None
    return _set("[]" if found[0].kind == is_.ONE_OF else "{}", *members, "as listed")
