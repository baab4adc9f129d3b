"""Record sheets that flow over pages."""

from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp
from PIL import Image

from labels.errors import PaperError, PictureUnreadable
from labels.sheet import Column, Section, SheetContent, Table, sheet
from tests.labels.paper_sample import a_picture, a_sheet, wash_record


def pages_of(pdf: bytes) -> list[str]:
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]


def test_a_sheet_says_what_it_was_given() -> None:
    (text,) = pages_of(sheet(a_sheet()))
    for expected in ("Žofie Đurđević", "Ελένη", "P-000123", "3/25", "Wash number 4", "As recorded.", "A note."):
        assert expected in text
    assert "PAGE 1 OF 1" in text


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_tables_break_between_rows_and_repeat_their_head(paper: str) -> None:
    pages = pages_of(sheet(a_sheet(sections=(Section("Wash", (), wash_record(130)),)), paper))
    assert len(pages) > 2
    assert all("MINUTES" in page for page in pages)
    for number, page in enumerate(pages, start=1):
        assert f"PAGE {number} OF {len(pages)}" in page
    joined = "\n".join(pages)
    for row in range(1, 131):
        assert f"Wash number {row} " in joined or f"Wash number {row}\n" in joined


def test_a_row_longer_than_a_page_is_continued() -> None:
    long = " ".join(f"word{number}" for number in range(2500))
    table = Table((Column("Date"), Column("Remark", 3)), (("1 March", long), ("2 March", "short")))
    joined = " ".join(pages_of(sheet(a_sheet(sections=(Section("Wash", (), table),)))))
    assert all(f"word{number}" in joined for number in range(2500))


def test_long_paragraphs_and_facts_run_on() -> None:
    long = " ".join(f"word{number}" for number in range(2500))
    content = a_sheet(sections=(Section("Provenance", (long,)),), facts=(("Long", long), *((("More", "x"),) * 60)))
    pages = pages_of(sheet(content))
    assert len(pages) > 4
    assert all(" ".join(pages).count(f"word{number}") >= 2 for number in range(0, 2500, 50))


def test_an_empty_sheet_is_a_page() -> None:
    assert len(pages_of(sheet(SheetContent("Record", "P-1", "", "", "", (), (), "", "")))) == 1


def test_the_square_reads() -> None:
    page = pypdfium2.PdfDocument(sheet(a_sheet()))[0]
    found = zxingcpp.read_barcodes(page.render(scale=150 / 72, grayscale=True).to_pil())
    assert [code.text for code in found] == ["https://example.org/p/P-000123"]


def test_data_is_never_markup() -> None:
    (text,) = pages_of(sheet(a_sheet(title="<b>x <img src=file:///etc/hosts> & y")))
    assert "<b>x <img src=file:///etc/hosts> & y" in text.replace("\n", " ")


@pytest.mark.parametrize(
    ("mode", "kind"), [("RGB", "JPEG"), ("L", "PNG"), ("RGBA", "PNG"), ("P", "PNG"), ("I;16", "PNG"), ("CMYK", "JPEG")]
)
def test_pictures_of_every_kind_are_printed_grey(mode: str, kind: str) -> None:
    out = BytesIO()
    ground = Image.linear_gradient("L")
    made = Image.new("I;16", (64, 64), 40000) if mode == "I;16" else ground.convert(mode)
    made.save(out, kind)
    page = pypdf.PdfReader(BytesIO(sheet(a_sheet(picture=out.getvalue())))).pages[0]
    assert [image.image.mode for image in page.images] == ["L"]


def test_a_large_picture_is_reduced() -> None:
    assert len(sheet(a_sheet(picture=a_picture(size=(4000, 5000))))) < 400_000


def test_refusals() -> None:
    with pytest.raises(PictureUnreadable):
        sheet(a_sheet(picture=b"not a picture"))
    with pytest.raises(PaperError, match="columns"):
        Table((Column("A"),), (("1", "2"),))


def test_same_sheet_same_bytes() -> None:
    assert sheet(a_sheet()) == sheet(a_sheet())
