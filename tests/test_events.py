"""What is recorded has happened: by its day, and by the clock where one is told."""

from datetime import datetime

import pytest

from catalog.dates import moment
from catalog.events import NotYetError, check_past

NOW = datetime.fromisoformat("2026-03-20T18:18:00+01:00")


@pytest.mark.parametrize(
    ("on", "at"),
    [(None, None), (None, "18:19"), (None, "17:59"), ("2026-03-20", None), ("2026-03", None), ("2026", None)],
)
def test_what_has_come(on: str | None, at: str | None) -> None:
    assert check_past(moment(on, at, NOW), NOW) == moment(on, at, NOW)


@pytest.mark.parametrize(
    ("on", "at"),
    [(None, "23:59"), (None, "18:20"), (None, "18:18-01:00"), ("2026-03-21", None), ("2026-04", None), ("2027", None)],
)
def test_what_has_not_come_yet(on: str | None, at: str | None) -> None:
    with pytest.raises(NotYetError, match="has not come yet"):
        check_past(moment(on, at, NOW), NOW)
