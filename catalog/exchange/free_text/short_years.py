"""Years of two digits, given the hundred that a person said for a whole list: “May-53”, “5/1/53”, “c. '48”."""

from catalog.exchange.free_text import date_lexicon as is_
from catalog.exchange.free_text.date_tokens import Token, shape

_WHOLE = {is_.YEAR, is_.DECADE, is_.YEAR_AND_TWO, is_.DAY, is_.MONTH_AND_YEAR, is_.THREE_DIGITS, is_.CENTURY}
_MONTHS = {is_.MONTH, is_.ROMAN_MONTH, is_.SEASON}
_COUNTS = {is_.NUMBER, is_.DOTTED, is_.ORDINAL}
LAST_DAY = 31  # a larger number beside a month is no day of it


def completed(found: list[Token], hundred: str) -> tuple[list[Token], tuple[str, ...]]:
    """A date's tokens with `hundred` ("19") before each year of two digits, and what is in doubt of them.

    Where a year has four digits, nothing is completed: “1948-53” and “12 May 1948” say themselves what they mean.
    """
    if _WHOLE & set(shape(found)):
        return found, ()
    result: list[Token] = []
    doubts: list[str] = []
    for place, token in enumerate(found):
        if token.kind == is_.SHORT_DAY:
            token = Token(is_.DAY, f"{token.value[:-2]}{hundred}{token.value[-2:]}", token.written)
        elif token.kind == is_.SHORT_DECADE:
            token = Token(is_.DECADE, f"{hundred}{token.value}", token.written)
        elif token.kind == is_.NUMBER and len(token.value) == 2 and _is_year(found[:place], token, found[place + 1 :]):
            if result and result[-1].kind == is_.TO:  # “May-53”, as spreadsheets show a month
                result.pop()
                if int(token.value) <= LAST_DAY:
                    month = f"{result[-1].written}-{token.written}"
                    doubts.append(f"“{month}” was read as a month of {hundred}{token.value}, not as a day.")
            token = Token(is_.YEAR, f"{hundred}{token.value}", token.written)
        result.append(token)
    return result, tuple(doubts)


def _is_year(before: list[Token], token: Token, after: list[Token]) -> bool:
    """Whether a number of two digits is a year: alone, after a day and its month, or a month that it is no day of."""
    if not any(one.kind in _MONTHS | _COUNTS for one in (*before, *after)):
        return True
    letters = shape(before)
    if letters == is_.DOTTED * 2:  # “24. 12. 53”
        return not after
    if letters.endswith(is_.TO):
        ends = shape(after) in ("", is_.UNCERTAIN)
        return len(before) > 1 and before[-1].written == "-" and before[-2].kind in _MONTHS and ends
    if letters.endswith(is_.COMMA):
        return len(before) > 2 and before[-2].kind in _COUNTS and before[-3].kind in _MONTHS
    if not before or before[-1].kind not in _MONTHS:
        return False
    has_day = len(before) > 1 and before[-2].kind in _COUNTS and int(before[-2].value) <= LAST_DAY
    return has_day or int(token.value) > LAST_DAY
