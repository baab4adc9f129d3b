"""What a glass plate weighs, against the published table."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalog.formulas.glass import plate_weight_mg
from catalog.measures import parse_size

THICKNESSES = (1_500, 2_000, 2_500, 3_000, 4_000)
# 2500 kg/m3 (EN 572) times area and thickness, computed independently: grams at 1.5, 2, 2.5, 3 and 4 mm.
PLATES = [
    ("sixteenth plate", (5.4, 7.2, 9.0, 10.8, 14.4)),
    ("ninth plate", (12.1, 16.1, 20.2, 24.2, 32.3)),
    ("sixth plate", (21.6, 28.8, 36.0, 43.2, 57.7)),
    ("quarter plate", (33.4, 44.6, 55.7, 66.8, 89.1)),
    ("4x5in", (48.4, 64.5, 80.6, 96.8, 129.0)),
    ("half plate us", (56.6, 75.4, 94.3, 113.1, 150.8)),
    ("half plate uk", (74.7, 99.6, 124.5, 149.4, 199.2)),
    ("5x7in", (84.7, 112.9, 141.1, 169.4, 225.8)),
    ("whole plate", (133.7, 178.2, 222.8, 267.3, 356.5)),
    ("8x10in", (193.5, 258.1, 322.6, 387.1, 516.1)),
    ("10x12in", (290.3, 387.1, 483.9, 580.6, 774.2)),
    ("11x14in", (372.6, 496.8, 621.0, 745.2, 993.5)),
    ("14x17in", (575.8, 767.7, 959.7, 1151.6, 1535.5)),
    ("16x20in", (774.2, 1032.3, 1290.3, 1548.4, 2064.5)),
    ("20x24in", (1161.3, 1548.4, 1935.5, 2322.6, 3096.8)),
]


@pytest.mark.parametrize(("plate", "grams"), PLATES)
def test_published_weights(plate: str, grams: tuple[float, ...]) -> None:
    height, width = parse_size(plate)
    weights = [plate_weight_mg(height, width, thickness) / 1_000 for thickness in THICKNESSES]
    assert weights == pytest.approx(grams, abs=0.0501)


def test_a_square_metre_one_millimetre_thick_weighs_two_and_a_half_kilograms() -> None:
    assert plate_weight_mg(1_000_000, 1_000_000, 1_000) == 2_500_000


@given(st.integers(1, 10**7), st.integers(1, 10**7), st.integers(1, 10**5))
def test_turning_a_plate_does_not_change_its_weight(height: int, width: int, thickness: int) -> None:
    weight = plate_weight_mg(height, width, thickness)
    assert weight == plate_weight_mg(width, height, thickness)
    assert abs(weight - height * width * thickness * 2.5e-9) <= 0.5 + weight * 1e-12


@pytest.mark.parametrize("sides", [(0, 1, 1), (1, -1, 1), (1, 1, 0)])
def test_no_plate_without_all_three_sides(sides: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="positive"):
        plate_weight_mg(*sides)
