"""Session sheets: every code large and in print, one page for a day's work, nothing beyond the margins."""

from io import BytesIO

import pypdf
import pypdfium2
import pytest

from labels.session_sheet import Load, SessionSheetContent, session_sheet

READINGS = ("none", "just visible", "beige", "yellow-brown")
LOADS = tuple(Load(name) for name in ("Fix 1", "Fix 2", "Wash", "Wash aid", "Tone", "Final wash", "", "", ""))


def content(count: int, title: str = "Low water, the third groyne") -> SessionSheetContent:
    codes = tuple((f"P-{number:06}", "") for number in range(1, count + 1)) + (("K-0001", "strip"),)
    return SessionSheetContent(
        "Session 3",
        title,
        "E-0001, warm12, 14 March 2026",
        ("Pencil the code on the back before exposure.", "Recipe: soft 10 s; hard 6 s, sky +1/2 (2.5 s)."),
        codes,
        (Load("Fix 1", "B-0001", "alkaline rapid fixer with a very long name indeed 1+4"), *LOADS[1:]),
        ("K-0001", ""),
        READINGS,
        ("Selenium toner is poisonous.", "Read the safety data sheet first."),
        "Afterwards: tirage session enter 3",
    )


@pytest.mark.parametrize(("paper", "count", "pages"), [("A4", 1, 1), ("A4", 8, 1), ("Letter", 6, 1), ("A4", 60, 4)])
def test_every_code_is_in_print(paper: str, count: int, pages: int) -> None:
    pdf = session_sheet(content(count), paper)
    assert pdf == session_sheet(content(count), paper), "printing it again gives the same paper"
    read = pypdf.PdfReader(BytesIO(pdf))
    text = "\n".join(page.extract_text() for page in read.pages)
    assert len(read.pages) == pages
    for code, _ in content(count).codes:
        assert code in text
    for words in (
        "Session 3",
        "E-0001, warm12, 14 March 2026",
        "B-0001",
        "Final wash",
        "hypo",
        "poisonous",
        "hard 6 s",
    ):
        assert words in text


@pytest.mark.parametrize("title", ["x", "A title " * 30, "Ω"])
def test_nothing_reaches_the_edge_of_the_paper(title: str) -> None:
    for page in pypdfium2.PdfDocument(session_sheet(content(8, title))):
        picture = page.render(scale=1, grayscale=True).to_pil()
        width, height = picture.size
        for box in (
            (0, 0, 20, height),
            (width - 20, 0, width, height),
            (0, 0, width, 20),
            (0, height - 20, width, height),
        ):
            assert picture.crop(box).getextrema() == (255, 255)
