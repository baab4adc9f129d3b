"""A day sheet: what happened in the darkroom on a day, as it was written down, before any of it is looked up."""

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PrivateAttr

from catalog.errors import TirageError
from catalog.plain_text import named, unseen
from catalog.whole_numbers import whole_number

WHOLE = "The day sheet"  # where something is wrong that stands on no line of its own
LONGEST_TEXT = 500
MOST_LINES = 1_000


class LineError(TirageError):
    """A line of a day sheet that cannot be entered; nothing else of it is either."""

    def __init__(self, where: str, reason: str, then: str = "") -> None:
        self.where, self.reason = where, reason
        super().__init__(f"{where}: {reason} Nothing was entered.{then}")


@contextmanager
def at_line(line: "Line") -> Iterator[None]:
    """A refusal in here names the line. Raises LineError."""
    try:
        yield
    except LineError:
        raise
    except TirageError as refusal:
        raise LineError(line.where, refusal.sentence) from None


def _text(value: Any) -> str:
    """Text as it was written: words, a whole number, a date or a time of day."""
    if isinstance(value, datetime.datetime):
        value = value.isoformat(" ")
    elif isinstance(value, datetime.date | datetime.time):
        value = value.isoformat()
    elif isinstance(value, int) and not isinstance(value, bool):
        value = str(value)
    if not isinstance(value, str):
        raise ValueError("expected text in quotes")
    if len(value) > LONGEST_TEXT:
        raise ValueError(f"it has {len(value)} signs; expected at most {LONGEST_TEXT}")
    sign = unseen(value)
    if sign:
        raise ValueError(f"it holds a sign that does not show ({named(sign)}); expected plain text on one line")
    return value.strip()


def _count(value: Any) -> int:
    number = whole_number(value.strip().lstrip("+")) if isinstance(value, str) else value
    if not isinstance(number, int) or isinstance(number, bool) or not 0 <= number <= 10_000:
        raise ValueError("expected a whole number, 0 to 10000")
    return number


def _session(value: Any) -> int:
    number = whole_number(value) if isinstance(value, str) else value
    if not isinstance(number, int) or isinstance(number, bool) or not 0 < number < 2**31:
        raise ValueError("expected a whole number, as it stands on the sheet of the session")
    return number


def _truth(value: Any) -> bool:
    if not isinstance(value, bool):
        raise ValueError("expected true or false, without quotes")
    return value


def _items(value: Any) -> str:
    text = _text(value)
    if not text:
        raise ValueError("expected what went through this: codes, kept or strip; take the line out if nothing did")
    return text


Items = Annotated[str, BeforeValidator(_items)]
Text = Annotated[str, BeforeValidator(_text)]
Count = Annotated[int, BeforeValidator(_count)]
SessionNumber = Annotated[int, BeforeValidator(_session)]
Truth = Annotated[bool, BeforeValidator(_truth)]


class Line(BaseModel):
    """One line, and where it stands on the sheet."""

    model_config = ConfigDict(extra="forbid")
    _where: str = PrivateAttr("")

    @property
    def where(self) -> str:
        """Where the line stands, as a person finds it: “line 12 (step 2)”."""
        return self._where

    def at_place(self, where: str) -> None:
        """Say where the line stands."""
        self._where = where


class PrintLine(Line):
    """Codes that were given beforehand, whether their sheets were kept, and what was written beside them."""

    code: Text
    kept: Truth = True
    exposure: Text = ""
    note: Text = ""

    @property
    def words(self) -> str:
        """What was written beside the code."""
        return "; ".join(part for part in (f"exposure {self.exposure}" if self.exposure else "", self.note) if part)


class StepLine(Line):
    """One load through one stage. `items` may be codes, “kept” (all that was kept, the strip with it) and “strip”."""

    kind: Text
    items: Items = "kept"
    bath: Text = ""
    washer: Text = ""
    length: Text = ""
    at: Text = ""
    out: Text = ""
    changes: Count | None = None
    sheets: Count = 0
    temperature: Text = ""
    note: Text = ""


class TestLine(Line):
    """Readings of drops, or measured values, on one item."""

    __test__ = False
    item: Text = "strip"
    hypo: Text = ""
    silver: Text = ""
    method: Text = ""
    on: Text = ""
    note: Text = ""


class Day(BaseModel):
    """The whole sheet. `session` is None for a day of work without codes given beforehand."""

    model_config = ConfigDict(extra="forbid")
    session: SessionNumber | None = None
    on: Text = ""
    print: list[PrintLine] = Field(default_factory=list, max_length=MOST_LINES)
    step: list[StepLine] = Field(default_factory=list, max_length=MOST_LINES)
    test: list[TestLine] = Field(default_factory=list, max_length=MOST_LINES)

    @property
    def lines(self) -> list[Line]:
        """Every line, in the order they are entered."""
        return [*self.print, *self.step, *self.test]
