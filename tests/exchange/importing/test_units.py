"""Units of a list: that of a heading is its column's own, that of the mapping file is for what says none."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage

Said = Callable[..., str]


@pytest.fixture
def begun(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    """An empty catalog."""
    assert tirage("init", "studio", "--artist", "A. Example").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    return tirage


@pytest.fixture
def read(begun: Tirage) -> Said:
    """What a dry run says of a table whose cells are parted by semicolons, with such a unit in its mapping file."""

    def said(headings: str, *rows: str, unit: str = "", options: str = "", noun: str = "negatives") -> str:
        Path("list.csv").write_text("\n".join((headings, *rows)) + "\n", encoding="utf-8")
        words = [begun("import", noun, "list.csv").out]
        mapping = Path("list.csv.mapping.toml")
        if unit or options:
            text = mapping.read_text(encoding="utf-8").replace('unit = ""', f'unit = "{unit}"', 1)
            for option in filter(None, options.split(";")):
                name = option.split(" ")[0]
                text = "\n".join(option if line.startswith(f"{name} =") else line for line in text.splitlines())
            mapping.write_text(text, encoding="utf-8")
            words.append(begun("import", noun, "list.csv").out)
        mapping.unlink()
        return words[-1]

    return said


# Headings, a row, the unit of the mapping file -> the size as read; derived here, one inch is 2.54 cm by definition.
SIZES = (
    ("Title;height (cm);width_in", "Pond;13;7", "", "13.0 × 17.8 cm"),
    ("Title;height (in);width (cm)", "Pond;4;12.7", "", "10.2 × 12.7 cm"),
    ("Title;height in cm;size in inches", "Pond;;4x5", "", "10.2 × 12.7 cm"),
    ("Title;height (cm);Dimensions in mm", "Pond;;102 x 127", "", "10.2 × 12.7 cm"),
    ("Title;Maße in Zentimetern", "Pond;20x25", "", "20.0 × 25.0 cm"),
    ("Title;Size (cm)", "Pond;8.0x10.0", "", "8.0 × 10.0 cm"),
    ("Title;Size (cm)", "Pond;11x14", "in", "11.0 × 14.0 cm"),
    ("Title;Size (cm)", "Pond;6x9", "", "6.0 × 9.0 cm"),
    ("Title;Height (cm);Width", "Pond;10;4", "in", "10.0 × 10.2 cm"),
    ("Title;Height;Width", "Pond;10;4", "cm", "10.0 × 4.0 cm"),
    ("Title;Height;Width", "Pond;4.75;3.25", "in", "12.1 × 8.3 cm"),
    ("Title;Height;Width", "Pond;4 3/4;3¼", "in", "12.1 × 8.3 cm"),
    ("Title;Height;Width", "Pond;2-1/4;3 1⁄4", "in", "5.7 × 8.3 cm"),
    ("Title;Height (in);Width (in)", "Pond;4 3/4;3¼", "", "12.1 × 8.3 cm"),
    ("Title;Size;Height;Width", "Pond;;8;10", "cm", "8.0 × 10.0 cm"),
    ("Title;Size;Height (cm);Width (cm)", "Pond;14 x 14;35.6;35.6", "", "35.6 × 35.6 cm"),
)


@pytest.mark.parametrize(("headings", "row", "unit", "size"), SIZES)
def test_a_unit_is_that_of_its_column(read: Said, headings: str, row: str, unit: str, size: str) -> None:
    out = read(headings, row, unit=unit)
    assert f"Pond   {size}" in out and "Doubtful" not in out, out


def test_weights_and_thicknesses_have_the_unit_of_their_headings(begun: Tirage) -> None:
    Path("list.csv").write_text("Title;Weight (kg);Thickness (in)\nOne;1.2;0.1\nTwo;;1/8\n")
    Path("oz.csv").write_text("Title;Weight (oz);Thickness\nThree;8;2\nFour;;1/8\n")
    assert begun("import negatives list.csv --apply").status == 0
    told = begun("import negatives oz.csv --apply").out
    assert "8 oz av (437.5 grains) or 8 oz ap" in told and "“1/8” has a fraction" in told
    weights, thick, ounces = (json.loads(begun(f"negative show n{n} --json").out)[0] for n in (1, 2, 3))
    assert (weights["weight"], weights["thickness"]) == ("1.2 kg (weighed)", "2.54 mm")
    assert (thick["thickness"], ounces["weight"], ounces["thickness"]) == ("3.18 mm", "", "2 mm")


def test_images_and_sheets_of_prints_and_editions(with_editions: Tirage) -> None:
    Path("p.csv").write_text("Negative;Kind;Image (cm);Sheet in inches\nRopewalk;work;18x24;8x10\n")
    assert with_editions("import prints p.csv --apply").status == 0
    shown = json.loads(with_editions("print show 1 --json").out)[0]
    assert (shown["image"], shown["sheet"]) == ("18.0 × 24.0 cm", "20.3 × 25.4 cm")
    Path("e.csv").write_text("Title;Edition;Declared;Image (cm);Sheet (in)\nHarbour wall;12;1999;8x10;8x10\n")
    assert with_editions("import editions e.csv --apply").status == 0
    shown = json.loads(with_editions("edition show e4 --json").out)[0]
    assert (shown["image"], shown["sheet"]) == ("8.0 × 10.0 cm", "20.3 × 25.4 cm")


@pytest.mark.parametrize("unit", ["cm", "mm"])
def test_a_size_that_is_sold_by_the_inch_stays_inches_where_its_column_says_nothing(read: Said, unit: str) -> None:
    out = read("Title;Size;Height;Width", "Pond;8x10;;", unit=unit)
    assert "20.3 × 25.4 cm" in out and f"where it is {unit}, say so in the heading or the cell" in out


def test_a_mapping_file_says_of_which_columns_its_unit_speaks(read: Said, begun: Tirage) -> None:
    out = read("Title;Size (cm);Height;Width", "Pond;20x25;;", unit="in")
    assert 'unit = "in" in list.csv.mapping.toml is not that of “Size (cm)”' in out
    begun("import negatives list.csv")
    assert "“Height (cm)” is in cm whatever stands" in Path("list.csv.mapping.toml").read_text(encoding="utf-8")


def test_a_mapping_file_of_before_is_read(begun: Tirage) -> None:
    Path("list.csv").write_text("Title;Size (cm);Height\nPond;20x25;\n")
    Path("list.csv.mapping.toml").write_text('[columns]\n"Size (cm)" = "size"\n[options]\nunit = "cm"\n')
    out = begun("import negatives list.csv").out
    assert "20.0 × 25.0 cm" in out and "unit =" not in out


def test_sides_that_do_not_fit_are_told_and_kept(begun: Tirage) -> None:
    Path("list.csv").write_text(
        "Title;Size;Height;Width\nOne;13 x 18 cm;13;18\nTwo;8 x 10 in;20.3;25.4\nThree;9 x 12 cm;14;12\n"
        "Four;20 x 25 cm;20;30\nFive;4 x 5 in;about 4;\n"
    )
    out = begun("import negatives list.csv --apply").out
    assert "it has no unit and fits in none; that of “Size” was taken" in out and "× " not in out
    assert "2 rows doubtful" not in out and "numbers have no unit" not in out
    shown = [json.loads(begun(f"negative show n{n} --json").out)[0]["from its list"] for n in range(1, 6)]
    assert shown == ["", "", "Height: 14", "Width: 30", "Height: about 4"]


def test_a_line_of_several_rows_names_no_size_of_one(read: Said) -> None:
    rows = ("One;13 x 18 cm;14;19", "Two;9 x 12 cm;14;19")
    out = read("Title;Size;Height (cm);Width (cm)", *rows)
    assert out.count("it is another length; that of “Size” was taken, and this is kept as note") == 2
    assert "the others alike" not in out and "2 rows doubtful" in out


def test_a_fraction_is_not_taken_for_centimetres(read: Said) -> None:
    out = read("Title;Height;Width", "Pond;4 3/4;6 1/2", unit="cm")
    assert "has a fraction, as inches have, and no unit; it is hardly meant in cm" in out and "with unit" not in out


COMMAS = {
    "9,0": "expected a decimal point, such as 9.0. If commas are points in this list: decimal",
    "1.234,5": "no sign between thousands and a decimal point, such as 1234.5. If commas",
    "1,234.5 mm": "no sign between thousands and a decimal point, such as 1234.5 mm.\n",
}


@pytest.mark.parametrize("cell", COMMAS)
def test_a_comma_is_told_with_what_to_do(read: Said, cell: str) -> None:
    assert COMMAS[cell] in read("Title;Height (mm);Width (mm)", f"Pond;{cell};120")


def test_decimal_commas(read: Said) -> None:
    comma = 'decimal = "comma"'
    assert "123.5 × 9.0 cm" in read("Title;Height (mm);Width (mm)", "Pond;1.234,5;90,0", options=comma)
    assert "may be a number with three decimals or one of thousands" in read(
        "Title;Height (mm);Width (mm)", "Pond;1.234;90,0", options=comma
    )


@pytest.mark.parametrize(
    ("headings", "cell", "unit", "size"),
    [
        ("Title;Size (cm)", "8x10", "", "8.0 × 10.0 cm"),
        ("Title;Size (cm)", "8 x 10", "in", "8.0 × 10.0 cm"),
        ("Titel;Maße in mm", "8x10", "", "0.8 × 1.0 cm"),
        ("Titel;Maße in mm", "13x18", "", "1.3 × 1.8 cm"),
    ],
)
def test_a_format_that_its_heading_makes_small_is_read_so_and_told(
    read: Said, headings: str, cell: str, unit: str, size: str
) -> None:
    out = read(headings, f"Pond;{cell}", unit=unit)
    assert f"Pond   {size}" in out and "as its heading says, and may be in " in out and "as the trade sells" in out, out


# Cells as read in the unit of their heading -> what is doubted; the bounds are from memory, not confirmed.
LARGE = (
    ("Size (cm)", "200 x 250", "read as 250.0 cm, longer than a plate is"),
    ("Height (cm);Width (cm)", "203;254", "read as 254.0 cm, longer than a plate is"),
    ("Weight (kg)", "250", "read as 250 kg, heavier than a plate is"),
    ("Thickness (cm)", "3", "read as 3.0 cm, thicker than a plate is"),
    ("Size (cm)", "50 x 60", ""),
    ("Weight (kg)", "12", ""),
    ("Thickness", "6", ""),
)


@pytest.mark.parametrize(("headings", "cells", "told"), LARGE)
def test_what_no_plate_is_like_is_doubted(read: Said, headings: str, cells: str, told: str) -> None:
    out = read(f"Title;{headings}", f"Pond;{cells}")
    assert (told in out and "1 row doubtful" in out) if told else "doubtful" not in out, out


# A format, height and width in their columns -> as shown, and what is kept of the format.
MEASURED = (
    ("8x10", "25,4;20,3", "25.4 × 20.3 cm", "Format: 8x10"),
    ("8x10", "20,3;25,4", "20.3 × 25.4 cm", "Format: 8x10"),
    ("whole plate", "21,6;16,5", "21.6 × 16.5 cm", "Format: whole plate"),
    ("8 x 10 in", "25,4;20,3", "25.4 × 20.3 cm", "Format: 8 x 10 in"),
    ("8 x 10 in", "20,3;25,4", "20.3 × 25.4 cm", ""),
)


@pytest.mark.parametrize(("form", "sides", "size", "kept"), MEASURED)
def test_measured_sides_say_which_is_which(begun: Tirage, form: str, sides: str, size: str, kept: str) -> None:
    Path("list.csv").write_text(f"Title;Format;Height (cm);Width (cm)\nPond;{form};{sides}\n")
    Path("list.csv.mapping.toml").write_text('[options]\ndecimal = "comma"\n')
    out = begun("import negatives list.csv --apply").out
    assert "oubtful" not in out and "Kept" not in out, out
    shown = json.loads(begun("negative show n1 --json").out)[0]
    assert (shown["size"], shown["from its list"]) == (size, kept)


def test_sides_of_another_size_do_not_win(begun: Tirage) -> None:
    Path("list.csv").write_text("Title;Format;Height (cm);Width (cm)\nPond;8x10;24;18\n")
    out = begun("import negatives list.csv").out
    assert "20.3 × 25.4 cm" in out and out.count("it is another length; that of “Format” was taken") == 2
