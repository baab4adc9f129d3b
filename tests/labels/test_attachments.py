"""Attached files and the digests of what shows."""

from collections.abc import Callable
from io import BytesIO

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Pdf

from labels.attachments import attach, attachments, page_digests
from labels.certificate import certificate
from labels.errors import PdfUnreadable
from labels.sheet import Section, sheet
from tests.labels.paper_sample import a_certificate, a_picture, a_sheet, wash_record

FILES = {
    "certificate.json": (b'{"number":"C-0007"}', "application/json", "/Source"),
    "certificate.jws": (b"a.b.c", "application/jose", "/Data"),
}
PAPER = certificate(a_certificate())
PAGES = sheet(a_sheet(sections=(Section("Wash", (), wash_record(60)),)))


def attached() -> bytes:
    return attach(PAPER, FILES, "Certificate C-0007", "Žofie Đurđević", "en-GB")


def test_files_come_out_as_they_went_in() -> None:
    assert attachments(attached()) == {name: content for name, (content, _, _) in FILES.items()}
    assert attachments(PAPER) == {}


def test_files_are_associated_with_the_document() -> None:
    with pikepdf.open(BytesIO(attached())) as pdf:
        assert [(str(spec.UF), str(spec.AFRelationship)) for spec in pdf.Root.AF] == [
            ("certificate.json", "/Source"),
            ("certificate.jws", "/Data"),
        ]
        assert str(pdf.Root.AF[0].EF.F.Subtype) == "/application/json"
        assert (str(pdf.docinfo.Title), str(pdf.docinfo.Author)) == ("Certificate C-0007", "Žofie Đurđević")
        assert str(pdf.Root.Lang) == "en-GB"


def test_attaching_is_deterministic_and_replaces() -> None:
    assert attached() == attached()
    again = attach(attached(), {"certificate.jws": (b"x.y.z", "application/jose", "/Data")})
    assert attachments(again)["certificate.jws"] == b"x.y.z"
    assert len(attachments(again)) == 2


def test_streams_are_plain_objects() -> None:
    assert b"/ObjStm" not in attached()


@pytest.mark.parametrize("pdf", [PAPER, PAGES], ids=["certificate", "sheet"])
def test_attaching_changes_nothing_that_shows(pdf: bytes) -> None:
    assert page_digests(attach(pdf, FILES, "T", "A", "cs")) == page_digests(pdf)


# Ways to save the same content otherwise.
SAVINGS = (
    {"recompress_flate": True},
    {"compress_streams": False, "stream_decode_level": pikepdf.StreamDecodeLevel.generalized},
    {"object_stream_mode": pikepdf.ObjectStreamMode.generate},
    {"linearize": True},
    {"qdf": True},
)


@pytest.mark.parametrize("how", SAVINGS, ids=lambda how: next(iter(how)))
@pytest.mark.parametrize("pdf", [PAPER, PAGES], ids=["certificate", "sheet"])
def test_saving_otherwise_changes_nothing_that_shows(pdf: bytes, how: dict) -> None:
    out = BytesIO()
    with pikepdf.open(BytesIO(pdf)) as opened:
        opened.save(out, **how)
    assert out.getvalue() != pdf
    assert page_digests(out.getvalue()) == page_digests(pdf)


def test_every_page_has_its_digest() -> None:
    digests = page_digests(PAGES)
    assert list(digests) == ["page 1", "page 2", "fonts", "pictures", "document"]
    assert all(len(digest) == 64 for digest in digests.values())


def font_of(pdf: Pdf, number: int) -> tuple[pikepdf.Object, str]:
    fonts = pdf.pages[0].Resources.Font
    return fonts, sorted(str(key) for key in fonts.keys())[number]  # noqa: SIM118


def alter_text(pdf: Pdf) -> None:
    data = pdf.pages[0].Contents.read_bytes()
    changed = data.replace(b"(C-0007)", b"(C-0008)")
    assert changed != data
    pdf.pages[0].Contents = pdf.make_stream(changed)


def swap_fonts(pdf: Pdf) -> None:
    fonts, first = font_of(pdf, 0)
    _, second = font_of(pdf, 1)
    fonts[first], fonts[second] = fonts[second], fonts[first]


def alter_font_program(pdf: Pdf) -> None:
    fonts, name = font_of(pdf, 0)
    program = fonts[name].FontDescriptor.FontFile2
    program.write(program.read_bytes() + b"\0")


def alter_widths(pdf: Pdf) -> None:
    fonts, name = font_of(pdf, 0)
    fonts[name].Widths[0] = 999


def alter_text_map(pdf: Pdf) -> None:
    fonts, name = font_of(pdf, 0)
    text_map = fonts[name].ToUnicode
    text_map.write(text_map.read_bytes() + b"\n")


def add_annotation(pdf: Pdf) -> None:
    note = Dictionary(Type=Name.Annot, Subtype=Name.FreeText, Rect=[0, 0, 90, 90], Contents="4/25", F=4)
    pdf.pages[0].Annots = pdf.make_indirect(Array([pdf.make_indirect(note)]))


def add_layer(pdf: Pdf) -> None:
    layer = pdf.make_indirect(Dictionary(Type=Name.OCG, Name="hidden"))
    pdf.Root.OCProperties = Dictionary(OCGs=[layer], D=Dictionary(Order=[layer], OFF=[layer]))


def add_form(pdf: Pdf) -> None:
    pdf.Root.AcroForm = Dictionary(Fields=[], NeedAppearances=True)


def add_action(pdf: Pdf) -> None:
    pdf.Root.OpenAction = Dictionary(S=Name.JavaScript, JS="app.alert(1)")


def add_script(pdf: Pdf) -> None:
    pdf.Root.Names = Dictionary(JavaScript=Dictionary(Names=["a", Dictionary(S=Name.JavaScript, JS="1")]))


def rotate(pdf: Pdf) -> None:
    pdf.pages[0].Rotate = 90


def crop(pdf: Pdf) -> None:
    pdf.pages[0].CropBox = Array([0, 0, 300, 300])


def add_page(pdf: Pdf) -> None:
    pdf.add_blank_page(page_size=(200, 200))


def alter_picture(pdf: Pdf) -> None:
    pictures = pdf.pages[0].Resources.XObject
    name = next(iter(pictures.keys()))
    with pikepdf.open(BytesIO(certificate(a_certificate(picture=a_picture(size=(242, 320)))))) as other:
        pictures[name] = pdf.copy_foreign(next(iter(dict(other.pages[0].Resources.XObject.items()).values())))


def alter_picture_data(pdf: Pdf) -> None:
    picture = next(iter(dict(pdf.pages[0].Resources.XObject.items()).values()))
    raw = bytearray(picture.read_raw_bytes())
    raw[len(raw) // 2] ^= 1
    picture.write(bytes(raw), filter=picture.Filter, decode_parms=picture.get("/DecodeParms"))


def alter_state(pdf: Pdf) -> None:
    pdf.pages[0].Resources.ExtGState = Dictionary(G0=Dictionary(Type=Name.ExtGState, ca=0))


# What is done to the file, and the digest that must tell.
ALTERATIONS: tuple[tuple[Callable[[Pdf], None], str], ...] = (
    (alter_text, "page 1"),
    (add_annotation, "page 1"),
    (rotate, "page 1"),
    (crop, "page 1"),
    (alter_state, "page 1"),
    (swap_fonts, "fonts"),
    (alter_font_program, "fonts"),
    (alter_widths, "fonts"),
    (alter_text_map, "fonts"),
    (alter_picture, "pictures"),
    (alter_picture_data, "pictures"),
    (add_layer, "document"),
    (add_form, "document"),
    (add_action, "document"),
    (add_script, "document"),
    (add_page, "document"),
)


@pytest.mark.parametrize(("alter", "tells"), ALTERATIONS, ids=lambda part: getattr(part, "__name__", part))
def test_every_alteration_is_told_and_only_where_it_is(alter: Callable[[Pdf], None], tells: str) -> None:
    out = BytesIO()
    with pikepdf.open(BytesIO(PAPER)) as pdf:
        alter(pdf)
        pdf.save(out)
    before, after = page_digests(PAPER), page_digests(out.getvalue())
    assert {key for key in before if before[key] != after.get(key)} - {"fonts", "pictures"} <= {tells}
    assert before[tells] != after[tells]


def test_annotations_that_point_back_at_their_page_do_not_go_round_for_ever() -> None:
    def with_note(pdf: Pdf, text: str) -> bytes:
        note = pdf.make_indirect(Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=[0, 0, 9, 9], Contents=text))
        reply = pdf.make_indirect(Dictionary(Type=Name.Annot, Subtype=Name.Text, Rect=[0, 0, 9, 9], IRT=note))
        note.P, note.Popup, reply.P = pdf.pages[0].obj, reply, pdf.pages[0].obj
        pdf.pages[0].Annots = Array([note, reply])
        out = BytesIO()
        pdf.save(out)
        return out.getvalue()

    with pikepdf.open(BytesIO(PAPER)) as pdf:
        one = with_note(pdf, "one")
    with pikepdf.open(BytesIO(PAPER)) as pdf:
        two = with_note(pdf, "two")
    assert page_digests(one)["page 1"] != page_digests(two)["page 1"]
    assert page_digests(attach(one, FILES)) == page_digests(one)


def encrypted() -> bytes:
    out = BytesIO()
    with pikepdf.open(BytesIO(PAPER)) as pdf:
        pdf.save(out, encryption=pikepdf.Encryption(owner="o", user=""))
    return out.getvalue()


@pytest.mark.parametrize(
    "pdf", [b"", b"nothing of the kind", PAPER[:2000], encrypted()], ids=["empty", "text", "cut", "encrypted"]
)
@pytest.mark.parametrize("call", [page_digests, attachments, lambda pdf: attach(pdf, FILES)])
def test_what_is_no_whole_pdf_is_refused(call: Callable[[bytes], object], pdf: bytes) -> None:
    with pytest.raises(PdfUnreadable):
        call(pdf)
