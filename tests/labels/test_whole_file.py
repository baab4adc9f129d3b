"""The plain form of a PDF: what is sealed here is always in it, whatever its words are and whatever chance packs."""

import hashlib
import random
import zlib
from dataclasses import replace
from io import BytesIO

import pikepdf
import pytest
from pikepdf import Name, Stream

from labels.attachments import Seal, attach, attachments
from labels.certificate import certificate
from labels.errors import PdfAmbiguous
from labels.pdf_file import saved
from labels.whole_file import digest_without, refuse_ambiguous
from tests.labels.paper_sample import a_certificate

# Words by which a PDF is put together (ISO 32000-1, 7.3 and 7.5), and names that stand for a second way to read it.
WORDS = (
    "endobj", "%%EOF", "startxref", "xref", "trailer", "stream", "endstream", "obj", "/ObjStm", "/XRef",
    "/Linearized", "/Obj#53tm", "1 0 obj", ") endobj", "<<", ">>", "(", ")", "\\", "\\)", "%PDF-1.7", "%", "Weir",
    "Đurđević", "Ωmega", "Пруд",
)  # fmt: skip
FILES = {"certificate.json": (b'{"title":"endobj %%EOF"}', "application/json", "/Data")}


def seal(size: int = 300) -> Seal:
    return "page.jws", lambda file: hashlib.sha512(file.encode()).hexdigest().encode().ljust(size, b"A")


def sealed(pdf: bytes, title: str, author: str) -> bytes:
    return attach(pdf, FILES, title, author, "en-GB", seal())


@pytest.mark.parametrize("word", WORDS)
def test_no_word_of_a_title_or_a_name_is_taken_for_the_files_own(word: str) -> None:
    pdf = certificate(replace(a_certificate(), title=f"The {word} of 1926", artist=f"A. {word} Maker"))
    whole = sealed(pdf, f"Certificate {word}", f"{word} Maker")
    refuse_ambiguous(whole)
    with pikepdf.open(BytesIO(whole)) as opened:
        assert (str(opened.docinfo.Title), str(opened.docinfo.Author)) == (f"Certificate {word}", f"{word} Maker")
    assert attachments(whole)["certificate.json"] == FILES["certificate.json"][0]


def test_hundreds_of_titles_and_names() -> None:
    chance, pdf = random.Random(1851), certificate(a_certificate())
    for _ in range(300):
        title, author = (" ".join(chance.choices(WORDS, k=chance.randint(1, 6))) for _ in range(2))
        refuse_ambiguous(sealed(pdf, title, author))


def with_mark(mark: bytes, filtered: bool = True) -> bytes:
    """A PDF in which the packed bytes of a stream hold a mark, as may happen by chance."""
    with pikepdf.open(BytesIO(certificate(a_certificate()))) as opened:
        stream = Stream(opened, b"")
        content = (b"plain " * 40 + mark) * 4
        if filtered:
            stream.write(zlib.compress(content, 0), filter=Name.FlateDecode)  # level 0 leaves bytes as they are
        else:
            stream.write(content)
        opened.Root["/PieceInfo"] = opened.make_indirect(stream)
        return saved(opened)


@pytest.mark.parametrize("mark", [b"endobj", b"%%EOF", b"startxref"])
def test_marks_that_chance_packed_are_packed_anew(mark: bytes) -> None:
    pdf = with_mark(mark)
    assert mark in pdf.partition(b"plain plain")[2][:600]
    with pytest.raises(PdfAmbiguous):
        refuse_ambiguous(pdf)
    whole = sealed(pdf, "Weir", "A. Maker")
    refuse_ambiguous(whole)
    assert whole == sealed(pdf, "Weir", "A. Maker"), "the same input gives the same bytes"
    page = attachments(whole)["page.jws"]
    assert page == seal()[1](digest_without(whole, page))
    with pikepdf.open(BytesIO(whole)) as opened:
        assert mark in opened.Root["/PieceInfo"].read_bytes()


def test_what_cannot_be_made_plain_is_not_handed_out() -> None:
    with pytest.raises(PdfAmbiguous):
        sealed(with_mark(b"endobj", filtered=False), "Weir", "A. Maker")
