"""Money: a whole number of minor units with its ISO 4217 currency."""

import re
from dataclasses import dataclass

from catalog.errors import NotUnderstood

# ISO 4217 list one: alphabetic codes that have a number of minor units (precious metals, testing and
# "no currency" have none and price nothing). Every code has two decimals unless listed below.
_CODES = frozenset(
    # one block of text: a list of quoted codes is four times as long and harder to compare with the standard
    """
    AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD CAD CDF CHE CHF CHW
    CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP GMD GNF GTQ GYD HKD HNL
    HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP LKR LRD LSL LYD MAD MDL MGA
    MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN PGK PHP PKR PLN PYG QAR RON RSD
    RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TND TOP TRY TTD TWD TZS UAH UGX USD
    USN UYI UYU UYW UZS VED VES VND VUV WST XAD XAF XCD XCG XOF XPF YER ZAR ZMW ZWG
    """.split()  # noqa: SIM905
)
# Withdrawn between 2023 and 2026; earlier sales were made in them.
_WITHDRAWN = frozenset({"ANG", "BGN", "HRK"})
_DECIMALS = {
    **dict.fromkeys(("BIF", "CLP", "DJF", "GNF", "ISK", "JPY", "KMF", "KRW", "PYG", "RWF", "UGX", "UYI"), 0),
    **dict.fromkeys(("VND", "VUV", "XAF", "XOF", "XPF"), 0),
    **dict.fromkeys(("BHD", "IQD", "JOD", "KWD", "LYD", "OMR", "TND"), 3),
    **dict.fromkeys(("CLF", "UYW"), 4),
}
_SIGNS = {"€": "EUR", "£": "GBP"}
SHARED_SIGNS = {"$": "USD, CAD, AUD", "¥": "JPY, CNY", "kr": "SEK, NOK, DKK", "fr": "CHF, XOF, XPF"}
_MOST = 10**15  # minor units: beyond any price, well within what SQLite and JSON keep exactly

_TYPED = r"(?a)([^\d\s.,+−-]*)\s*([+−-]?[\d.,'’\s]*\d)\s*([^\d\s.,+−-]*)"
_AMOUNT = r"(?a)(\d{1,3}(?:[, ]\d{3})+|\d+)(?:\.(\d+))?"
_EXPECTED = "an amount and its currency, such as 900 EUR or 1,250.50 EUR"


@dataclass(frozen=True)
class Money:
    """An amount as a whole number of minor units (cents) and an ISO 4217 code: Money(90000, "EUR") is EUR 900.00."""

    minor: int
    currency: str

    def text(self) -> str:
        """The amount as "EUR 12,500.00" or "JPY 90,000", which `parse_money` reads back."""
        places = decimals_of(self.currency)
        whole, part = divmod(abs(self.minor), 10**places)
        sign = "−" if self.minor < 0 else ""
        return f"{self.currency} {sign}{whole:,}" + (f".{part:0{places}d}" if places else "")


def decimals_of(currency: str) -> int:
    """How many decimals a currency has (ISO 4217 minor unit: 0, 2, 3 or 4). Raises `NotUnderstood` for no such code."""
    if currency not in _CODES and currency not in _WITHDRAWN:
        raise NotUnderstood("a currency", currency, "an ISO 4217 code of three letters, such as EUR, USD or JPY")
    return _DECIMALS.get(currency, 2)


def parse_money(text: str) -> Money:
    """Read an amount with its currency before or after it: "900EUR", "EUR 900", "1,250.50 EUR", "€900".

    A point parts decimals, a comma or a space parts thousands. Raises `NotUnderstood` without a currency, for
    a sign that several currencies share ($), more decimals than the currency has, a decimal comma, a negative amount.
    """
    typed = " ".join(text.split())
    found = re.fullmatch(_TYPED, typed)
    if not found:
        raise NotUnderstood("an amount of money", text, _EXPECTED)
    before, amount, after = found.groups()
    if before and after:
        raise NotUnderstood("an amount of money", text, "the currency once, before or after the amount")
    if amount[0] in "+−-":
        raise NotUnderstood("an amount of money", text, f"{_EXPECTED}, not negative and without a sign")
    currency = _currency(before or after, amount, text)
    return Money(_minor(amount, currency, text), currency)


def _currency(typed: str, amount: str, whole: str) -> str:
    if not typed:
        raise NotUnderstood("an amount of money", whole, f"its currency too, such as {amount} EUR or {amount} USD")
    shared = SHARED_SIGNS.get(typed.lower())
    if shared:
        raise NotUnderstood("an amount of money", whole, f"the currency by its code, as {typed} has several: {shared}")
    code = _SIGNS.get(typed, typed.upper())
    if code not in _CODES and code not in _WITHDRAWN:
        raise NotUnderstood("an amount of money", whole, f"a currency of ISO 4217 where “{typed}” stands, such as EUR")
    return code


def _minor(amount: str, currency: str, whole: str) -> int:
    found = re.fullmatch(_AMOUNT, amount)
    places = decimals_of(currency)
    if not found or (found[1][0] == "0" and len(found[1]) > 1):
        raise NotUnderstood("an amount of money", whole, _point_form(amount, currency))
    part = found[2] or ""
    if len(part) > places:
        allowed = f"at most {places} decimals" if places else "no decimals"
        grouped = f", or {found[1]},{part} {currency} for thousands" if len(part) == 3 else ""
        raise NotUnderstood("an amount of money", whole, f"{allowed}, as {currency} has no more{grouped}")
    minor = int(found[1].replace(",", "").replace(" ", "")) * 10**places + int(part.ljust(places, "0") or 0)
    if minor > _MOST:
        raise NotUnderstood("an amount of money", whole, "an amount under a million million")
    return minor


def _point_form(amount: str, currency: str) -> str:
    """Say how to type an amount whose commas and points cannot be taken as they stand."""
    digits = re.sub(r"[.'’\s]", "", amount)
    if re.fullmatch(r"0*(\d+),(\d{1,2})", digits):
        return f"a point before the decimals: {digits.replace(',', '.')} {currency}"
    return f"a point before the decimals and commas only between thousands, such as 1,250.50 {currency}"
