"""The bound of a wash in words and as data: what a person reads, and whose figure it is."""

import pytest

from catalog.rules.wash_bound import part, time_row

# fraction -> as read
PARTS = ((1.0, "100 %"), (0.996, "100 %"), (0.5, "50 %"), (0.025, "2.5 %"), (1 / 4000, "1 part in 4,000"),
         (1e-12, "less than 1 part in 1,000,000,000"))  # fmt: skip
# thousandths of a degree -> factor, derived here; US Army TM 11-2323 at 50 and 35 °F
TIMES = ((10_000, 2, False), (1_667, pytest.approx(4, rel=1e-3), False), (20_000, 1, False), (25_000, 1, False),
         (5_000, pytest.approx(2 ** (1 + 9 / 15), rel=1e-3), True), (-5_000, None, False))  # fmt: skip


@pytest.mark.parametrize(("fraction", "words"), PARTS)
def test_parts(fraction: float, words: str) -> None:
    assert part(fraction) == words


@pytest.mark.parametrize(("celsius", "factor", "derived"), TIMES)
def test_times_as_data(celsius: int, factor: float | None, derived: bool) -> None:
    row = time_row(celsius)
    assert row["time_factor"] == factor and row["time_factor_derived"] is derived
    assert ("derived here" in str(row["time_factor_source"])) is derived
    assert bool(row["time_factor_note"]) is (factor is None)
