"""Sheets of labels: places, text inside its cell, codes that read back."""

from io import BytesIO

import pikepdf
import pypdf
import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st

from labels.drawing import Square
from labels.errors import AddressTooLong, GlyphMissing, PaperError, StartOutOfRange
from labels.label_sheet import Label, label_sheet, lay_out
from labels.qr import LEAST_MODULE, quiet_in_points
from labels.stock import stock, stocks

SALT_PANS = "Étude No. 3, the salt pans at low water"
LINES = (
    "3/25 · negative 2024, printed 2026",
    "Gelatin silver contact print from a wet-collodion glass negative",
    "203 × 254 mm on 240 × 300 mm",
)


def a_label(number: int, **changes: object) -> Label:
    given_ = {
        "code": f"P-{number:06d}",
        "address": f"https://example.org/p/P-{number:06d}",
        "heading": "Žofie Đurđević",
        "title": SALT_PANS if number % 2 else "Ελένη",
        "lines": LINES,
        "note": "For sleeve, mat or backing board; never on the print.",
    }
    return Label(**{**given_, **changes})  # type: ignore[arg-type]


ADDRESSES = ["", "https://example.org/p/1", "HTTPS://EXAMPLE.ORG/P/P-000123", "https://e.org/" + "a" * 40]
texts = st.text(alphabet="abcdefghijklmnop qrstuvwxyz ŽĐΕλД W-/", max_size=140)
some_labels = st.builds(
    Label,
    code=st.text(alphabet="ABCW0123456789-.", min_size=1, max_size=24),
    address=st.sampled_from(
        ["", "https://example.org/p/1", "HTTPS://EXAMPLE.ORG/P/P-000123", "https://e.org/" + "a" * 40]
    ),
    heading=texts,
    title=texts,
    lines=st.lists(texts, max_size=6).map(tuple),
    note=texts,
)


@settings(deadline=None, max_examples=150)
@given(some_labels, st.sampled_from(stocks()), st.sampled_from(["left", "right"]), st.data())
def test_everything_stays_inside_its_cell(label: Label, offered, side, data) -> None:  # type: ignore[no-untyped-def]
    position = data.draw(st.integers(1, offered.positions))
    cell = offered.grid.cell(position).in_points()
    pieces = lay_out(label, cell, side)
    assert all(cell.contains(piece.box) for piece in pieces)
    squares = [piece for piece in pieces if isinstance(piece, Square)]
    assert len(squares) == (1 if label.address else 0)
    for square in squares:
        quiet = quiet_in_points(square.module)
        assert square.module >= LEAST_MODULE
        around = type(cell)(
            square.left - quiet, square.top - quiet, square.box.width + 2 * quiet, square.box.height + 2 * quiet
        )
        assert cell.contains(around)
        for piece in pieces:
            if piece is not square:
                # A line's box has air for accents above its capitals; ink is what must stay out of the quiet zone.
                box = piece.box
                ink = type(box)(box.left, box.top + box.height * 0.2, box.width, box.height * 0.8)
                assert not around.overlaps(ink, 0.1)
    said = [piece.text for piece in pieces if hasattr(piece, "text")]
    assert any(text == label.code or text.endswith("…") for text in said)


@pytest.mark.parametrize("offered", stocks(), ids=lambda offered: offered.name)
def test_every_code_on_a_full_sheet_is_read(offered) -> None:  # type: ignore[no-untyped-def]
    labels = [a_label(number) for number in range(1, offered.positions + 1)]
    page = pypdfium2.PdfDocument(label_sheet(labels, offered))[0]
    found = zxingcpp.read_barcodes(page.render(scale=150 / 72, grayscale=True).to_pil())
    assert sorted(code.text for code in found) == sorted(label.address for label in labels)


def test_text_reads_back() -> None:
    text = pypdf.PdfReader(BytesIO(label_sheet([a_label(1), a_label(2)], stock("a4-2x4")))).pages[0].extract_text()
    for expected in ("Žofie Đurđević", "Ελένη", "P-000001", "P-000002", "3/25"):
        assert expected in text


def test_fonts_are_embedded_and_none_is_the_library_default() -> None:
    fonts = []
    with pikepdf.open(BytesIO(label_sheet([a_label(1)], stock("a4-3x8")))) as pdf:
        for found in pdf.objects:
            if isinstance(found, pikepdf.Dictionary) and found.get("/Type") == "/Font":
                assert "/FontFile2" in found.FontDescriptor
                fonts.append(str(found.BaseFont))
    assert fonts and not any("Helvetica" in font for font in fonts)


def positions_used(pdf: bytes, name: str) -> list[int]:
    grid = stock(name).grid
    used = []
    page = pypdfium2.PdfDocument(pdf)[0]
    height = page.get_height()
    found = zxingcpp.read_barcodes(page.render(scale=150 / 72, grayscale=True).to_pil())
    for code in found:
        x, y = code.position.top_left.x * 72 / 150, code.position.top_left.y * 72 / 150
        for position in range(1, grid.cells + 1):
            cell = grid.cell(position).in_points()
            if cell.left <= x <= cell.right and cell.top <= y <= min(cell.bottom, height):
                used.append(position)
    return sorted(used)


@pytest.mark.parametrize(("start", "count", "expected"), [(1, 2, [1, 2]), (5, 3, [5, 6, 7]), (24, 1, [24])])
def test_labels_begin_at_the_first_free_position(start: int, count: int, expected: list[int]) -> None:
    pdf = label_sheet([a_label(number) for number in range(count)], stock("a4-3x8"), start=start)
    assert positions_used(pdf, "a4-3x8") == expected


@pytest.mark.parametrize(("start", "count", "pages"), [(1, 24, 1), (1, 25, 2), (24, 1, 1), (24, 2, 2), (2, 47, 2)])
def test_sheets_are_as_many_as_are_needed(start: int, count: int, pages: int) -> None:
    pdf = label_sheet([a_label(number) for number in range(count)], stock("a4-3x8"), start=start)
    assert len(pypdf.PdfReader(BytesIO(pdf)).pages) == pages


@pytest.mark.parametrize("start", [0, -1, 25])
def test_a_position_the_sheet_lacks_is_refused(start: int) -> None:
    with pytest.raises(StartOutOfRange, match="1 to 24"):
        label_sheet([a_label(1)], stock("a4-3x8"), start=start)


def test_refusals() -> None:
    with pytest.raises(PaperError, match="no label"):
        label_sheet([], stock("a4-3x8"))
    with pytest.raises(AddressTooLong, match="shorter address"):
        label_sheet([a_label(1, address="https://example.org/" + "a" * 300)], stock("letter-3x10"))
    with pytest.raises(GlyphMissing, match="U\\+5199"):
        label_sheet([a_label(1, title="写真")], stock("a4-3x8"))


def test_same_labels_same_bytes() -> None:
    labels = [a_label(number) for number in range(30)]
    assert label_sheet(labels, stock("a4-3x7"), 3, True) == label_sheet(labels, stock("a4-3x7"), 3, True)


def test_a_thousand_labels_are_light() -> None:
    labels = [a_label(number) for number in range(1000)]
    assert len(label_sheet(labels, stock("a4-3x8"))) <= 400 * 1024


def test_labels_of_one_row_hang_from_one_line() -> None:
    sheet = [a_label(1), a_label(1, code="P-000002", lines=LINES[:1]), a_label(1, code="P-000003", lines=())]
    pdf = pypdfium2.PdfDocument(label_sheet(sheet, stock("a4-3x8")))
    page = pdf[0].get_textpage()
    tops = [
        page.get_rect(place)[3]
        for place in range(page.count_rects())
        if "Žofie" in page.get_text_bounded(*page.get_rect(place))
    ]
    assert len(tops) == 3 and max(tops) - min(tops) < 0.01, tops
