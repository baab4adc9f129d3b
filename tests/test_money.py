"""Money: amounts with their currency, in whole minor units."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.errors import NotUnderstood
from catalog.money import _CODES, _WITHDRAWN, Money, decimals_of, parse_money

READ = [
    ("900EUR", 90_000, "EUR", "EUR 900.00"), ("EUR 900", 90_000, "EUR", "EUR 900.00"),
    ("900 eur", 90_000, "EUR", "EUR 900.00"), ("€900", 90_000, "EUR", "EUR 900.00"),
    ("900 €", 90_000, "EUR", "EUR 900.00"), ("£12.5", 1_250, "GBP", "GBP 12.50"),
    ("1,250.50 EUR", 125_050, "EUR", "EUR 1,250.50"), ("1,250 EUR", 125_000, "EUR", "EUR 1,250.00"),
    ("1 250.50 EUR", 125_050, "EUR", "EUR 1,250.50"), ("12500EUR", 1_250_000, "EUR", "EUR 12,500.00"),
    ("90000 JPY", 90_000, "JPY", "JPY 90,000"), ("1.250 KWD", 1_250, "KWD", "KWD 1.250"),
    ("0 EUR", 0, "EUR", "EUR 0.00"), ("1.2345 CLF", 12_345, "CLF", "CLF 1.2345"),
]  # fmt: skip

REFUSED = [
    ("900", "900 EUR"), ("$900", "USD, CAD, AUD"), ("¥900", "JPY, CNY"), ("900 kr", "SEK"), ("900 XYZ", "XYZ"),
    ("900 XAU", "XAU"), ("1.255 EUR", "at most 2 decimals"), ("900.5 JPY", "no decimals"), ("-5 EUR", "not negative"),
    ("EUR -5", "not negative"), ("900,50 EUR", "900.50 EUR"), ("1.250,50 EUR", "1250.50 EUR"),
    ("1.250 EUR", "1,250 EUR"), ("1,25 EUR", "1.25 EUR"), ("0,500 EUR", "1,250.50"), ("1,2,3 EUR", "1,250.50"),
    ("12,34,567 INR", "1,250.50"), ("EUR 900 EUR", "once"), ("EUR", ""), ("", ""), ("1e5 EUR", ""), ("٩٠٠ EUR", ""),
    ("900²EUR", ""), ("99999999999999999 EUR", "million million"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "minor", "currency", "written"), READ)
def test_read_and_written(text: str, minor: int, currency: str, written: str) -> None:
    money = parse_money(text)
    assert (money, money.text()) == (Money(minor, currency), written)


@pytest.mark.parametrize(("text", "offer"), REFUSED)
def test_refused_with_a_remedy(text: str, offer: str) -> None:
    with pytest.raises(NotUnderstood) as problem:
        parse_money(text)
    assert offer in problem.value.expected


def test_codes_and_decimals_are_those_of_iso_4217() -> None:
    iso4217 = pytest.importorskip("iso4217")
    published = {one.code: one.exponent for one in iso4217.Currency if one.exponent is not None}
    # The standard moves on; what is asked is that every code of the published list is known, with its decimals.
    assert {code: decimals_of(code) for code in published} == published
    assert not _WITHDRAWN & _CODES


def test_no_such_currency() -> None:
    with pytest.raises(NotUnderstood, match="ISO 4217"):
        decimals_of("eur")


@given(st.integers(0, 10**15), st.sampled_from(sorted(_CODES | _WITHDRAWN)))
def test_money_survives(minor: int, currency: str) -> None:
    assert parse_money(Money(minor, currency).text()) == Money(minor, currency)


@given(st.text(max_size=25))
def test_any_text_is_read_or_refused(text: str) -> None:
    try:
        money = parse_money(text)
    except NotUnderstood:
        return
    assert parse_money(money.text()) == money
