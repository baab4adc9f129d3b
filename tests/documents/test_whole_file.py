"""A certificate's file that another hand was at: what shows one page here and another one elsewhere is never valid."""

import json
import re
import shutil
import subprocess
import zlib
from io import BytesIO

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Stream

from catalog import signing
from catalog.documents.certificate import FACTS_FILE, JWS_FILE, PAGE_FILE
from labels.attachments import attach, attachments
from labels.whole_file import digest_without
from tests.documents.test_certificate_paper import Studio

PAINT = b"\nq 1 1 1 rg 0 0 1000 1000 re f 0.8 0 0 rg 60 300 400 200 re f Q\n"


@pytest.fixture(scope="module")
def studio(tmp_path_factory):
    return Studio(tmp_path_factory.mktemp("studio") / "catalog")


@pytest.fixture(scope="module")
def pdf(studio):
    return studio.paper(studio.issue())


def saved(pdf, change=lambda opened: None, **how):
    with pikepdf.open(BytesIO(pdf)) as opened:
        change(opened)
        out = BytesIO()
        opened.save(out, **how)
        return out.getvalue()


def listed(pdf):
    """Where the list of objects stands, what it holds, and the trailer's dictionary."""
    start = int(re.search(rb"startxref\s+(\d+)\s+%%EOF\s*$", pdf)[1])
    entries = [(int(place), kind) for place, kind in re.findall(rb"(\d{10}) \d{5} ([nf])", pdf[start:])]
    return start, entries, re.search(rb"trailer\s*(<<.*>>)\s*startxref", pdf[start:], re.DOTALL)[1]


def listing(entries):
    rows = [b"%010d %s " % (place, b"65535 f" if kind == b"f" else b"00000 n") for place, kind in entries]
    return b"xref\n0 %d\n" % len(rows) + b"\n".join(rows) + b"\n"


def fake_linearized(pdf):
    """A dictionary that says the file is made for the web, and a first list of objects that leads to another page."""
    start, entries, trailer = listed(pdf)
    with pikepdf.open(BytesIO(pdf)) as opened:
        page = opened.pages[0].obj
        number, shown, own = page.Contents.objgen[0], page.objgen[0], page.Contents.read_bytes() + PAINT
    forged = b"%d 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n" % (number, len(own), own)
    first = min(place for place, kind in entries if kind == b"n")
    trailer = trailer.replace(b"/Size %d" % len(entries), b"/Size %d" % (len(entries) + 1))

    def built(length, table):
        mark = b"%d 0 obj\n<< /Linearized 1 /L %010d /H [ 900 10 ] /O %d /E %010d /N 1 /T %010d >>\nendobj\n" % (
            len(entries), length, shown, max(length - 100, 0), table)  # fmt: skip
        end = b"trailer\n" + trailer + b"\nstartxref\n0\n%%EOF\n"
        moved = len(mark) + len(listing([*entries, (0, b"n")])) + len(end)
        whole = [(place + moved if kind == b"n" else place, kind) for place, kind in entries] + [(first, b"n")]
        false = list(whole)
        false[number] = (start + moved, b"n")
        body = pdf[:first] + mark + listing(false) + end + pdf[first:start] + forged
        return body + listing(whole) + b"trailer\n" + trailer + b"\nstartxref\n%d\n%%%%EOF\n" % len(body), len(body)

    draft, table = built(0, 0)
    return built(len(draft), table)[0]


def added(pdf):
    """A change put behind the end, as programs do that save quickly; then taken back by the list of an older state."""
    start, entries, trailer = listed(pdf)
    with pikepdf.open(BytesIO(pdf)) as opened:
        number, own = opened.pages[0].Contents.objgen[0], opened.pages[0].Contents.read_bytes() + PAINT
    forged = b"%d 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n" % (number, len(own), own)
    table = len(pdf) + len(forged)
    more = b"xref\n%d 1\n%010d 00000 n \n" % (number, len(pdf))
    end = trailer.replace(b"<<", b"<< /Prev %d" % start, 1)
    return pdf + forged + more + b"trailer\n" + end + b"\nstartxref\n%d\n%%%%EOF\n" % table


def twin(pdf):
    """An object of the same number in a gap that no list leads to: who puts a file together anew takes the later."""
    start, entries, trailer = listed(pdf)
    with pikepdf.open(BytesIO(pdf)) as opened:
        number = opened.pages[0].Contents.objgen[0]
    forged = b"%d 0 obj\n<< /Length %d >>\nstream\n%s\nendstream\nendobj\n" % (number, len(PAINT), PAINT)
    return (
        pdf[:start] + forged + pdf[start:].replace(b"startxref\n%d" % start, b"startxref\n%d" % (start + len(forged)))
    )


AMBIGUOUS = {
    "made for the web, falsely": fake_linearized,
    "made for the web": lambda pdf: saved(pdf, linearize=True),
    "objects packed": lambda pdf: saved(pdf, object_stream_mode=pikepdf.ObjectStreamMode.generate),
    "changes added": added,
    "an object twice": twin,
    "something in front": lambda pdf: b"#!/bin/sh\n" + pdf,
    "something behind": lambda pdf: pdf + b"\nmore",
    "a comment in front": lambda pdf: pdf[:9] + b"%<html>\n" + pdf[9:],
    "two ends": lambda pdf: pdf + b"startxref\n0\n%%EOF\n",
}


@pytest.mark.parametrize("name", AMBIGUOUS)
def test_a_file_that_can_be_read_in_two_ways_is_refused(studio, pdf, name):
    verdict = studio.verdict(AMBIGUOUS[name](pdf))
    assert verdict.status in ("altered", "unreadable"), verdict
    assert name == "objects packed" or verdict.status == "altered"
    assert "in one way only" in verdict.lines[0], verdict


@pytest.mark.skipif(not shutil.which("pdftoppm"), reason="there is no other reader here")
def test_the_forged_page_does_show_elsewhere(pdf, tmp_path):
    """Why it must be refused: another reader shows the painted page, while ours reads the true one."""

    def seen(name, data):
        (tmp_path / f"{name}.pdf").write_bytes(data)
        command = ["pdftoppm", "-r", "20", "-gray", tmp_path / f"{name}.pdf", tmp_path / name]
        subprocess.run(command, check=True, capture_output=True)
        return next(tmp_path.glob(f"{name}*.pgm")).read_bytes()

    forged = fake_linearized(pdf)
    assert seen("true", pdf) != seen("forged", forged)
    with pikepdf.open(BytesIO(pdf)) as one, pikepdf.open(BytesIO(forged)) as two:
        assert one.pages[0].Contents.read_bytes() == two.pages[0].Contents.read_bytes()


def forged_facts(opened):
    stream = Stream(opened, attachments_of(opened, FACTS_FILE).replace(b'"1/25"', b'"1/3"'))
    stream.Type = Name.EmbeddedFile
    return opened.make_indirect(stream)


def attachments_of(opened, name):
    return opened.attachments[name].get_file().read_bytes()


def another_content(opened):
    opened.attachments[FACTS_FILE].obj.EF.F = forged_facts(opened)


def another_system(opened):
    specification = opened.attachments[FACTS_FILE].obj
    for key in ("/DOS", "/Mac", "/Unix"):
        specification.EF[key] = forged_facts(opened)


def another_name(opened):
    opened.attachments[FACTS_FILE].obj.UF = "facts.json"


def another_association(opened):
    forged = attachments_of(opened, FACTS_FILE).replace(b'"1/25"', b'"1/3"')
    opened.Root.AF = Array([pikepdf.AttachedFileSpec(opened, forged, filename=FACTS_FILE).obj])


def one_association_more(opened):
    opened.Root.AF.append(pikepdf.AttachedFileSpec(opened, b"{}", filename=FACTS_FILE).obj)


@pytest.mark.parametrize(
    "change", [another_content, another_system, another_name, another_association, one_association_more]
)
def test_an_attached_file_is_held_in_one_way(studio, pdf, change):
    verdict = studio.verdict(saved(pdf, change))
    assert verdict.status == "altered" and "held in two ways" in " ".join(verdict.lines), verdict


def another_title(opened):
    opened.docinfo[Name.Title] = "Certificate of authenticity C-0001, number 1/3"


@pytest.mark.parametrize("change", [lambda opened: None, another_title], ids=["saved anew", "title"])
def test_a_file_saved_anew_is_told_as_that(studio, pdf, change):
    verdict = studio.verdict(saved(pdf, change))
    assert (verdict.status, verdict.is_valid, verdict.code) == ("saved anew", False, "C-0001")
    assert "not as it was written" in verdict.lines[0]
    assert studio.verdict(attach(pdf, {})).status == "saved anew", "even by this program"


def test_every_byte_counts(studio, pdf):
    """A byte changed anywhere, the places that nothing shows among them, and the file is not valid."""
    places = [*range(0, len(pdf), len(pdf) // 60), pdf.index(b"/ID [<") + 8, pdf.rindex(b"%%EOF") - 2]
    for place in places:
        broken = pdf[:place] + bytes([pdf[place] ^ 1]) + pdf[place + 1 :]
        assert not studio.verdict(broken).is_valid, place


def test_the_digest_leaves_out_the_signature_alone(pdf):
    page = attachments(pdf)[PAGE_FILE]
    said = json.loads(signing.decode(page.decode().split(".")[1]))
    assert said["file"] == digest_without(pdf, page)
    place = pdf.index(page)
    blanked = pdf[:place] + b" " * len(page) + pdf[place + len(page) :]
    assert digest_without(blanked, b" " * len(page)) == said["file"]
    assert digest_without(pdf, page[:-1]) == "" and digest_without(pdf, b"") == ""
    assert digest_without(pdf + b"\nstream\n" + page + b"\nendstream", page) == ""


def test_a_page_signature_that_covers_no_file_is_not_enough(studio, pdf):
    page = attachments(pdf)[PAGE_FILE]
    said = json.loads(signing.decode(page.decode().split(".")[1]))
    del said["file"]
    key = studio.key
    older = signing.sign(key.pem, signing.canonical(said), key.thumbprint).encode()
    verdict = studio.verdict(attach(pdf, {PAGE_FILE: (older, "application/jose", "/Supplement")}))
    assert verdict.status == "altered" and "does not cover the whole file" in verdict.lines[0]


def bomb(times=1, size=200):
    """A stream of `size` MiB of nothing, packed once or more."""
    packing = zlib.compressobj(9)
    data = b"".join(packing.compress(bytes(1 << 20)) for _ in range(size)) + packing.flush()
    for _ in range(times - 1):
        data = zlib.compress(data, 9)
    return data


def with_stream(pdf, data, filters, place):
    def change(opened):
        stream = Stream(opened, b"")
        stream.write(data, filter=filters)
        held = opened.make_indirect(stream)
        if place == "contents":
            opened.pages[0].obj.Contents = held
        elif place == "font":
            opened.pages[0].obj.Resources.Font["/Z"] = held
        else:
            stream.Type = Name.EmbeddedFile
            opened.attachments[JWS_FILE].obj.EF = Dictionary(F=held, UF=held)

    return saved(pdf, change, compress_streams=False, stream_decode_level=pikepdf.StreamDecodeLevel.none)


@pytest.mark.parametrize("place", ["contents", "font", "attached"])
@pytest.mark.parametrize("times", [1, 2])
def test_a_small_file_does_not_fill_the_memory(studio, pdf, place, times):
    filters = Name.FlateDecode if times == 1 else Array([Name.FlateDecode] * 2)
    verdict = studio.verdict(with_stream(pdf, bomb(times), filters, place))
    assert verdict.status == "unreadable"
    assert ("unpacks to more" if times == 1 else "packed in a way") in verdict.lines[0]


def test_the_streams_together_have_a_limit(studio, pdf):
    def change(opened):
        stream = Stream(opened, b"")
        stream.write(bomb(size=10), filter=Name.FlateDecode)
        opened.pages[0].obj.Contents = Array([opened.make_indirect(stream)] * 40)

    plain = {"compress_streams": False, "stream_decode_level": pikepdf.StreamDecodeLevel.none}
    assert "unpacks to more" in studio.verdict(saved(pdf, change, **plain)).lines[0]


def test_many_files_are_counted_and_not_read(studio, pdf):
    few = {f"a{number}": (b"x", "text/plain", "/Data") for number in range(9)}
    verdict = studio.verdict(attach(pdf, few))
    assert verdict.status == "altered" and len(verdict.lines) == 4
    assert "a2" in verdict.lines[2] and "6 more were added" in verdict.lines[3]
    many = {f"a{number:03}": (b"x", "text/plain", "/Data") for number in range(300)}
    verdict = studio.verdict(attach(pdf, many))
    assert verdict.status == "unreadable" and "305 files, a000, a001, a002 and more" in verdict.lines[0]


def test_pages_nested_deeply_are_refused(studio, pdf):
    def change(opened):
        page, node = opened.pages[0].obj, opened.Root.Pages
        for _ in range(60):
            kid = opened.make_indirect(Dictionary(Type=Name.Pages, Count=1, Parent=node))
            node.Kids = Array([kid])
            node = kid
        node.Kids, page.Parent = Array([page]), node
        opened.Root.Pages.CropBox = Array([0, 0, 500, 400])

    assert studio.verdict(saved(pdf, change)).status in ("unreadable", "altered")
