"""Number formats, whatever they are: something is always read, and no digit of the stored number is lost.

Named cases stand in test_workbooks.py, read from workbooks.
"""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from catalog.exchange.importing.number_formats import shown_number, shown_text

SIGNS = '0#?.,;%"\\_*[]$-<>=10eE+/@ kg€Gnral()'


@given(st.decimals(allow_nan=False, allow_infinity=False), st.text(alphabet=SIGNS, max_size=14))
def test_any_format_reads_something(value: Decimal, form: str) -> None:
    assert shown_number(str(value), form).text
    assert shown_text("Pond", form).replace("Pond", "") != shown_text("Pond", form)


@given(
    st.decimals(min_value=0, max_value=10**9, places=3),
    st.from_regex(r'[#0]{1,4}(\.[0#]{0,3})?( "kg")?', fullmatch=True),
)
def test_what_a_format_rounds_away_is_not_lost(value: Decimal, form: str) -> None:
    shown = shown_number(f"{value.normalize():f}", form)
    assert Decimal(shown.text.removesuffix("kg").strip()) == value and not shown.lost
    assert shown.text.endswith("kg") == form.endswith('"')
