"""A whole PDF vouched for by one file inside it, and the one form in which no two programs read it differently."""

import hashlib
import re
from itertools import pairwise

from labels.errors import PdfAmbiguous
from labels.pdf_file import open_pdf

_HEAD = re.compile(rb"%PDF-[12]\.[0-9]\r?\n(?:%[\x80-\xff]{4,8}\r?\n)?")
_TAIL = re.compile(rb"xref\s+0 ([0-9]{1,7})[ \r\n]+")
_TRAILER = re.compile(rb"\s*trailer\s*<<(.{1,2000}?)>>\s*startxref\s+([0-9]{1,10})\s+%%EOF[\r\n]{0,2}", re.DOTALL)
_ENTRY = re.compile(rb"([0-9]{10}) ([0-9]{5}) ([nf])[ \r][\r\n]")
_NAME = re.compile(rb"/([^\s/<>()\[\]{}%]+)")
_ESCAPE = re.compile(rb"#([0-9A-Fa-f]{2})")
_IN_TRAILER = {b"Size", b"Root", b"Info", b"ID"}
# A second list of objects, or objects packed inside others: other programs may follow these and read another page.
_SECOND_WAYS = {b"Linearized", b"ObjStm", b"XRef"}
_BLANK = b" "


def blank(length: int) -> bytes:
    """What stands in the place of a file that is made only when all others are known."""
    return _BLANK * length


def digest_without(pdf: bytes, content: bytes) -> str:
    """SHA-256 of every byte of `pdf` except those of `content`, which is one plain stream in it.

    "" where it is not exactly one: then nothing can be said of the whole. Only the place of `content` is free, and
    whatever stands there must be as long as what stood there before.
    """
    found = [match.start(1) for match in re.finditer(rb"\nstream\n(" + re.escape(content) + rb")\n?endstream", pdf)]
    if not content or len(found) != 1:
        return ""
    place = found[0]
    return hashlib.sha256(pdf[:place] + blank(len(content)) + pdf[place + len(content) :]).hexdigest()


def refuse_ambiguous(pdf: bytes) -> None:
    """Raise `PdfAmbiguous` unless `pdf` is one head, objects without a gap, one list of them, and one end.

    A file that carries two lists of its objects shows one page here and another one elsewhere (ISO 32000-1, 7.5.6 on
    updates, annex F on linearized files). Raises `PdfUnreadable` for what is no PDF or is damaged.
    """
    start = pdf.rfind(b"startxref")
    listed = pdf[start + 9 : start + 30].split() if start >= 0 else []
    if not listed or pdf.count(b"startxref") != 1 or pdf.count(b"%%EOF") != 1 or not listed[0].isdigit():
        raise PdfAmbiguous("it has not one end, as after changes that were added to it")
    table = int(listed[0])
    _refuse_gaps(pdf, _offsets(pdf, table), table)
    with open_pdf(pdf) as opened:
        for _ in opened.objects:
            pass
        if opened.get_warnings():
            raise PdfAmbiguous("its objects are not written by the rules")


def _offsets(pdf: bytes, table: int) -> dict[int, bytes]:
    """Where each object stands -> how it must begin there."""
    head = _TAIL.match(pdf, table)
    if head is None:
        raise PdfAmbiguous("it has no plain list of its objects")
    offsets: dict[int, bytes] = {}
    place, count = head.end(), int(head[1])
    for number in range(count):
        entry = _ENTRY.match(pdf, place)
        if entry is None:
            raise PdfAmbiguous("the list of its objects is damaged")
        place = entry.end()
        if entry[3] == b"n":
            if int(entry[1]) in offsets:
                raise PdfAmbiguous("two of its objects stand in one place")
            offsets[int(entry[1])] = b"%d %d obj" % (number, int(entry[2]))
    trailer = _TRAILER.fullmatch(pdf, place)
    if trailer is None or int(trailer[2]) != table or not set(_NAME.findall(trailer[1])) <= _IN_TRAILER:
        raise PdfAmbiguous("its end names more than one list of its objects")
    return offsets


def _refuse_gaps(pdf: bytes, offsets: dict[int, bytes], table: int) -> None:
    places = [*sorted(offsets), table]
    head = _HEAD.match(pdf)
    if head is None or head.end() != places[0]:
        raise PdfAmbiguous("something stands before its first object")
    for begin, end in pairwise(places):
        part = pdf[begin:end].rstrip(b"\r\n")
        if not part.startswith(offsets[begin]) or not part.endswith(b"endobj") or part.count(b"endobj") != 1:
            raise PdfAmbiguous("something stands between its objects")
        names = _NAME.findall(part.partition(b"stream")[0])
        if any(_ESCAPE.sub(lambda found: bytes([int(found[1], 16)]), name) in _SECOND_WAYS for name in names):
            raise PdfAmbiguous("its objects are packed or listed in a second way")
