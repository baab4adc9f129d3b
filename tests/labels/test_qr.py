"""QR symbols: sizes against the published table, modules in whole printer dots."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from labels.errors import AddressTooLong
from labels.qr import LEAST_MODULE, PRINTER_DOT, QUIET_ZONE, drawing_operators, qr_symbol

# Capacity at error correction M: version, modules, bytes, alphanumeric characters (None: not tabled).
# Source: ISO/IEC 18004 capacities (module counts and byte capacities; totals at version 40 agree with published ones).
CAPACITIES = (
    (1, 21, 14, 20),
    (2, 25, 26, 38),
    (3, 29, 42, 61),
    (4, 33, 62, 90),
    (5, 37, 84, 122),
    (6, 41, 106, None),
    (7, 45, 122, None),
    (8, 49, 152, None),
    (9, 53, 180, None),
    (10, 57, 213, None),
    (15, 77, 412, None),
    (20, 97, 666, None),
)

# Printed side in mm with quiet zone: version, at X = 0.33, 0.396, 0.5. Source: ISO/IEC 18004, side = 17 + 4 x
# version, quiet zone 4.
PRINTED_SIZES = ((2, 10.9, 13.1, 16.5), (3, 12.2, 14.7, 18.5), (4, 13.5, 16.2, 20.5), (5, 14.9, 17.8, 22.5))


@pytest.mark.parametrize(("version", "modules", "octets", "capitals"), CAPACITIES)
def test_capacity_and_modules(version: int, modules: int, octets: int, capitals: int | None) -> None:
    assert qr_symbol("a" * octets).modules == modules == 17 + 4 * version
    assert qr_symbol("a" * octets).version == version
    assert qr_symbol("a" * (octets + 1)).modules > modules
    if capitals:
        assert qr_symbol("A" * capitals).modules == modules
        assert qr_symbol("A" * (capitals + 1)).modules > modules


def test_upper_case_addresses_are_smaller() -> None:
    address = "https://example.org/p/0123456789"
    assert (qr_symbol(address).version, qr_symbol(address.upper()).version) == (3, 2)


@pytest.mark.parametrize(("version", *("at_33", "at_396", "at_50")), PRINTED_SIZES)
def test_printed_sizes(version: int, at_33: float, at_396: float, at_50: float) -> None:
    across = 17 + 4 * version + 2 * QUIET_ZONE
    for module, side in ((0.33, at_33), (0.396, at_396), (0.5, at_50)):
        assert across * module == pytest.approx(side, abs=0.051)


@given(st.floats(1, 80), st.integers(1, 120))
def test_a_module_fits_its_room_in_whole_dots_and_is_never_too_small(room: float, length: int) -> None:
    symbol = qr_symbol("a" * length)
    module = symbol.module_within(room)
    if module:
        assert module >= LEAST_MODULE
        assert (symbol.modules + 2 * QUIET_ZONE) * module <= room + 1e-6
        assert module / PRINTER_DOT == pytest.approx(round(module / PRINTER_DOT))
    else:
        assert (symbol.modules + 2 * QUIET_ZONE) * (LEAST_MODULE + PRINTER_DOT) > room


def test_too_much_for_any_symbol_is_refused() -> None:
    with pytest.raises(AddressTooLong):
        qr_symbol("a" * 2332)


def test_one_path_draws_it_all() -> None:
    operators = drawing_operators(qr_symbol("HTTPS://EXAMPLE.ORG/P/1"), 10, 20, 0.4)
    assert operators.startswith("q ") and operators.endswith("f Q")
    assert operators.count("\nf ") == 1
