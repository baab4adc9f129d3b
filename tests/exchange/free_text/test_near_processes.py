"""Processes that are likely misspelled, and such as are only unknown."""

import pytest

from catalog.exchange.free_text.near_processes import likely_process

LIKELY = {
    "wet colodion": "wet-collodion negative", "Wet Collodian negative": "wet-collodion negative",
    "cyanotpe": "cyanotype", "ambrotipe": "ambrotype", "dageurreotype": "daguerreotype",
}  # fmt: skip
OTHERS = (
    "", "colour reversal", "cellulose nitrate", "photography", "autotype", "heliotype", "safety film negative",
    "wet-collodion negative", "cyanotype", "not a cyanotpe", "koll. nass", "x" * 500,
)  # fmt: skip


@pytest.mark.parametrize("text", LIKELY)
def test_a_slip_is_seen(text: str) -> None:
    assert likely_process(text) == LIKELY[text]


@pytest.mark.parametrize("text", OTHERS)
def test_what_is_only_unknown_is_no_slip(text: str) -> None:
    assert likely_process(text) == ""
