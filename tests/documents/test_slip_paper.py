"""The paper alone: the square read off a rendered page, as text and as an address, and what is refused."""

import hmac
import io
import json

import pypdfium2
import pytest
from PIL import Image, ImageFilter

from catalog import signing
from catalog.documents import scan
from catalog.documents.verification import verify
from catalog.records import certificates, private_keys
from tests.documents.test_certificate_paper import Studio, event


@pytest.fixture(scope="module")
def studio(tmp_path_factory):
    return Studio(tmp_path_factory.mktemp("slip") / "catalog")


@pytest.fixture(scope="module")
def issued(studio):
    one = studio.issue()
    return one, studio.paper(one)


def picture(pdf, dots, kind="PNG", blur=0.0, turned=0.0, box=None):
    image = pypdfium2.PdfDocument(pdf)[0].render(scale=dots / 72, grayscale=True).to_pil()
    image = image.filter(ImageFilter.GaussianBlur(blur)) if blur else image
    image = image.rotate(turned, expand=True, fillcolor=255) if turned else image
    out = io.BytesIO()
    (image.crop(box) if box else image).save(out, kind)
    return out.getvalue()


# How a page comes back: dots an inch, blur in pixels, turned by degrees, kind of file.
SCANS = ((300, 0, 0, "PNG"), (150, 0, 0, "PNG"), (300, 1.5, 0, "JPEG"), (150, 0.6, 0, "PNG"), (300, 0.8, 7, "TIFF"),
         (200, 0, 180, "WEBP"))  # fmt: skip


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize(("dots", "blur", "turned", "kind"), SCANS)
def test_the_square_is_read_off_the_paper(studio, issued, paper, dots, blur, turned, kind):
    pdf = studio.paper(issued[0], paper)
    data = picture(pdf, dots, kind, blur, turned)
    assert scan.is_picture(data)
    assert scan.squares(data) == [f"https://example.org/C#{issued[0].slip}"]
    verdict = verify(data, studio.keys)
    assert verdict.is_valid and verdict.code == "C-0001"


def test_it_tells_what_it_vouches_for(studio, issued):
    verdict = verify(issued[0].slip.encode(), studio.keys)
    told = "\n".join(verdict.lines)
    for words in ("C-0001, issued 3 May 2026", "Mara Example: “Low water, Étude”", "P-000001, 1/25",
                  "negative made 2 November 2025; printed 1 February 2026", "a square can be copied",
                  signing.grouped(issued[0].fingerprint)):  # fmt: skip
        assert words in told, words
    assert "Valid as issued; later changes are not visible here." in verdict.lines
    at_home = studio.verdict(issued[0].slip.encode())
    assert at_home.is_valid and "The catalog has it as valid." in at_home.lines


def test_text_address_and_broken_lines(studio, issued):
    slip = issued[0].slip
    broken = "\r\n ".join(slip[place : place + 60] for place in range(0, len(slip), 60))
    for text in (slip, f"https://example.org/C#{slip}\n", f"\ufeff{broken}", f"HTTPS://EXAMPLE.ORG/C#{slip}"):
        assert studio.verdict(text.encode()).is_valid, text[:30]
    older = studio.verdict(b"HTTPS://EXAMPLE.ORG/C/C-0001")
    assert older.status == "unreadable" and "holds no statement after a #" in older.lines[0]


def forged(studio, issued, name):
    slip = issued[0].slip
    head, body, signature = slip.split(".")
    payload = signing.decode(body)
    x = next(iter(studio.keys.values()))
    hs256 = signing.encode(b'{"alg":"HS256"}') + "." + body
    mac = hmac.digest(signing.decode(x), hs256.encode(), "sha256")
    statements = {
        "alg none": signing.encode(b'{"alg":"none"}') + f".{body}.",
        "HS256 with the public key": f"{hs256}.{signing.encode(mac)}",
        "another designation": f"{head}.{signing.encode(payload.replace(b'1/25', b'2/25'))}.{signature}",
        "a signature flipped": f"{head}.{body}.{'B' if signature[0] != 'B' else 'C'}{signature[1:]}",
        "another's key": signing.sign(signing.new_key()[0], payload, ""),
        "extra point": slip + ".",
        "padding": slip + "==",
        "not UTF-8": signing.sign(studio.key.pem, b"\xff\xfe", ""),
        "no slip": signing.sign(studio.key.pem, b'{"slip":1}', ""),
        "the page's statement": signing.sign(studio.key.pem, b'{"format":"page of a certificate, 1"}', ""),
    }
    return statements[name]


# Statement -> what is said of it.
REFUSED = {
    "alg none": "unreadable",
    "HS256 with the public key": "unreadable",
    "another designation": "altered",
    "a signature flipped": "altered",
    "another's key": "altered",
    "extra point": "unreadable",
    "padding": "unreadable",
    "not UTF-8": "unreadable",
    "no slip": "unreadable",
    "the page's statement": "unreadable",
}


@pytest.mark.parametrize("name", REFUSED)
def test_refused(studio, issued, name):
    for known in (None, studio.known):
        verdict = verify(forged(studio, issued, name).encode(), studio.keys, known)
        assert verdict.status == REFUSED[name] and verdict.lines[0].endswith("."), verdict


def test_a_key_elsewhere(studio, issued, tmp_path):
    assert verify(issued[0].slip.encode(), {}).status == "unknown key"
    assert Studio(tmp_path / "other").verdict(issued[0].slip.encode()).status == "unknown key"


def test_a_second_slip_of_the_same_certificate(studio, issued):
    payload = json.loads(signing.claimed(issued[0].slip))
    for change in ({"designation": "2/25"}, {"facts": "A" * 43}, {"print": "P-000002"}, {"certificate": "C-0099"}):
        stolen = signing.sign(studio.key.pem, signing.canonical({**payload, **change}), "")
        assert studio.verdict(stolen.encode()).status == "altered", change


@pytest.mark.parametrize("size", [(40, 40), (900, 900)])
def test_a_picture_without_a_square(studio, size):
    out = io.BytesIO()
    Image.new("L", size, 200).save(out, "PNG")
    verdict = studio.verdict(out.getvalue())
    assert verdict.status == "unreadable" and "no square was found" in verdict.lines[0]


def test_a_damaged_picture(studio, issued):
    data = picture(issued[1], 100)
    assert studio.verdict(data[:2000]).status == "unreadable"
    assert studio.verdict(b"\x89PNG\r\n\x1a\n").status == "unreadable"


def test_without_the_part_that_reads_squares(studio, issued, monkeypatch):
    monkeypatch.setitem(__import__("sys").modules, "zxingcpp", None)
    with pytest.raises(scan.ScanNotPossibleError) as refusal:
        studio.verdict(picture(issued[1], 100))
    assert "tirage[scan]" in refusal.value.sentence


def test_revoked_and_superseded(tmp_path):
    studio = Studio(tmp_path / "catalog")
    one = studio.issue()
    two = studio.issue(0, supersedes=one.id)
    assert studio.verdict(one.slip.encode()).status == "superseded"
    certificates.revoke(studio.connection, event(), two.id, "withdrawn")
    told = studio.verdict(two.slip.encode())
    assert told.status == "revoked" and "withdrawn" in told.lines[0]
    private_keys.renew(studio.connection, event(), studio.ring, "artist")
    assert verify(two.slip.encode(), studio.keys).is_valid, "an old key's word stands"
