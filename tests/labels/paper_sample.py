"""Invented sheets and certificates that the tests put on paper."""

import hashlib
from io import BytesIO

from PIL import Image

from labels.certificate import CertificateContent
from labels.sheet import Column, Section, SheetContent, Table

FINGERPRINT = hashlib.sha256(b"statement").hexdigest()
STATEMENT = (
    "A statement under a section of a statute that asks for the number of prints, the year of the negative and of "
    "the print, and whether the artist was living when it was made; where it is unknown, this says so."
)


def a_picture(mode: str = "RGB", kind: str = "PNG", size: tuple[int, int] = (240, 320)) -> bytes:
    out = BytesIO()
    Image.linear_gradient("L").resize(size).convert(mode).save(out, kind)
    return out.getvalue()


def wash_record(rows: int) -> Table:
    columns = (Column("Date"), Column("Step", 2), Column("Minutes", 0.6, "right"))
    return Table(columns, tuple((f"{n + 1} March", f"Wash number {n + 1}", "60") for n in range(rows)), "As recorded.")


def a_sheet(**changes: object) -> SheetContent:
    given = {
        "kind": "Provenance and processing record",
        "code": "P-000123",
        "artist": "Žofie Đurđević",
        "title": "Étude No. 3, the salt pans at low water",
        "subtitle": "Gelatin silver print",
        "facts": (("Designation", "3/25"), ("Paper", "Warm-tone fibre-base paper, matt")),
        "sections": (Section("Provenance", ("The artist; Ελένη, Port Maren, 2026.",), wash_record(4), ("A note.",)),),
        "footer": "Studio, Port Maren",
        "address": "https://example.org/p/P-000123",
        "picture": a_picture(),
    }
    return SheetContent(**{**given, **changes})  # type: ignore[arg-type]


def a_certificate(**changes: object) -> CertificateContent:
    given_ = {
        "number": "C-0007",
        "heading": "Certificate of authenticity",
        "artist": "Žofie Đurđević",
        "title": "Étude No. 3, the salt pans at low water",
        "subtitle": "Gelatin silver contact print from a wet-collodion glass negative",
        "facts": (("Print", "P-000123, number 3/25"), ("Negative", "N-0012, glass plate, Ελένη")),
        "statements": ("No further print of this image will be made in this size and process.",),
        "declaration": "I declare that this print is my own work.",
        "signature_lines": ("Signature of the artist", "Place and date"),
        "fingerprint": FINGERPRINT,
        "thumbprint": "NzbLsXh8uDCcd-6MNwXF4W_7noWXFZAfHkxZsRGC9Xs",
        "verify": "Compare the fingerprint, then check the signature.",
        "address": "https://example.org/c/C-0007",
        "public_key": "11qYAYKxCrfVS_7TyWQHOg7hcvPapiMlrwIaaPcHURo",
        "picture": a_picture(),
    }
    return CertificateContent(**{**given_, **changes})  # type: ignore[arg-type]


LONG = a_certificate(
    title="Still life with a broken developing dish, two lemons and the window of the old drying room, third variant",
    facts=tuple((f"Fact number {number}", "Signed in graphite on the back margin, lower left") for number in range(18)),
    statements=(STATEMENT,) * 8,
    verify="Compare the fingerprint. " * 16,
)
DENSE = a_certificate(address="https://example.org/C#" + "eyJhbGciOi" * 52, caption="Scan to check", picture=None)
EMPTY = CertificateContent("C-1", "Certificate", "", "", "", (), (), "", (), "", "", "", "")
