"""Certificates: one page, whatever they have to say."""

import random
from dataclasses import replace
from io import BytesIO

import pypdf
import pypdfium2
import pytest
import zxingcpp
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import ImageFilter

from labels.certificate import CertificateContent, certificate, lay_out, refuse_what_does_not_fit
from labels.drawing import Rule, Square, Text
from labels.errors import DoesNotFit, GlyphMissing
from labels.geometry import Box, page_size, points
from labels.qr import DENSE_MODULE, PRINTER_DOT
from tests.labels.paper_sample import DENSE, EMPTY, FINGERPRINT, LONG, STATEMENT, a_certificate, a_picture

BASE64URL = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_"


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("content", [a_certificate(), LONG, EMPTY, DENSE], ids=["usual", "long", "empty", "dense"])
def test_it_is_one_page_and_all_of_it_is_on_the_page(content: CertificateContent, paper: str) -> None:
    assert len(pypdf.PdfReader(BytesIO(certificate(content, paper))).pages) == 1
    page = page_size(paper)
    inside = Box(points(20), points(12), points(page.width - 40), points(page.height - 24))
    assert all(inside.contains(piece.box) for piece in lay_out(content, page))


@settings(deadline=None, max_examples=40)
@given(st.integers(0, 20), st.integers(0, 6), st.integers(1, 3), st.booleans(), st.sampled_from(["A4", "Letter"]))
def test_nothing_is_set_on_top_of_anything(facts: int, statements: int, lines: int, picture: bool, paper: str) -> None:
    content = a_certificate(
        facts=(("Inscription", "Signed in graphite on the back margin, lower left"),) * facts,
        statements=(STATEMENT,) * statements,
        signature_lines=("Signature",) * lines,
        picture=a_picture() if picture else None,
    )
    texts = [piece for piece in lay_out(content, page_size(paper)) if isinstance(piece, Text)]
    # From x-height to baseline: the ink that every line has.
    inks = [Box(text.left, text.baseline - text.size * 0.45, text.width, text.size * 0.45) for text in texts]
    assert not any(one.overlaps(other) for n, one in enumerate(inks) for other in inks[n + 1 :])


@pytest.mark.parametrize("content", [a_certificate(), LONG], ids=["usual", "long"])
def test_there_is_room_to_sign_under_the_declaration(content: CertificateContent) -> None:
    pieces = lay_out(content, page_size("A4"))
    declared = next(piece for piece in pieces if isinstance(piece, Text) and piece.text.startswith("I declare"))
    caption = next(piece for piece in pieces if isinstance(piece, Text) and piece.text == "Signature of the artist")
    line = max(
        (piece for piece in pieces if isinstance(piece, Rule) and piece.top < caption.baseline),
        key=lambda rule: rule.top,
    )
    assert line.top - declared.baseline >= points(10)


def test_it_says_what_it_was_given() -> None:
    content = a_certificate()
    text = pypdf.PdfReader(BytesIO(certificate(content))).pages[0].extract_text()
    for expected in ("Žofie Đurđević", "Ελένη", "C-0007", "3/25"):
        assert expected in text
    plain = "".join(text.split())
    for expected in (content.public_key, content.thumbprint, FINGERPRINT):
        assert expected in plain, expected
    groups = [FINGERPRINT[start : start + 4] for start in range(0, 64, 4)]
    assert " ".join(groups) in " ".join(text.split())


@pytest.mark.parametrize("content", [a_certificate(), LONG], ids=["usual", "long"])
def test_the_square_reads(content: CertificateContent) -> None:
    page = pypdfium2.PdfDocument(certificate(content))[0]
    found = zxingcpp.read_barcodes(page.render(scale=150 / 72, grayscale=True).to_pil())
    assert [code.text for code in found] == [content.address]


# Characters of an address with a whole statement: usual, the longest with a short address, the longest there can be.
@pytest.mark.parametrize("length", [380, 542, 643])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_a_square_with_a_statement_scans(length: int, paper: str) -> None:
    address = "https://example.org/C#" + "".join(random.Random(length).choices(BASE64URL, k=length - 22))
    content = replace(DENSE, address=address)
    square = next(piece for piece in lay_out(content, page_size(paper)) if isinstance(piece, Square))
    assert square.module >= DENSE_MODULE and square.module / PRINTER_DOT == pytest.approx(
        round(square.module / PRINTER_DOT)
    )
    assert square.symbol.modules * square.module <= 38.0 + 1e-6, "it leaves room for the words beside it"
    page = pypdfium2.PdfDocument(certificate(content, paper))[0]
    for dots, blur in ((300, 0.0), (150, 0.0), (300, 1.5), (150, 0.6)):  # blur in pixels
        image = page.render(scale=dots / 72, grayscale=True).to_pil().filter(ImageFilter.GaussianBlur(blur))
        assert [code.text for code in zxingcpp.read_barcodes(image)] == [address], (dots, blur)


def test_measuring_says_the_same_as_drawing() -> None:
    for content in (a_certificate(), LONG, DENSE):
        refuse_what_does_not_fit(content)
        drawn, measured = (lay_out(content, page_size("A4"), measured=known) for known in (False, True))
        assert [piece.box for piece in drawn] == [piece.box for piece in measured]
    with pytest.raises(DoesNotFit):
        refuse_what_does_not_fit(a_certificate(statements=(STATEMENT,) * 80))
    with pytest.raises(GlyphMissing):
        refuse_what_does_not_fit(a_certificate(title="\u2603\u4e00"))


def test_what_no_page_can_hold_is_refused() -> None:
    with pytest.raises(DoesNotFit, match="shorten"):
        certificate(a_certificate(statements=(STATEMENT,) * 80))


def test_same_certificate_same_bytes() -> None:
    assert certificate(LONG) == certificate(LONG)
    assert b"Helvetica" not in certificate(LONG)
