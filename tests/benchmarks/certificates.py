"""Certificates: one on paper against a bare page that says the same, and issuing many against signing and inserting."""

import io
import shutil
import sqlite3
import statistics
import time
from collections.abc import Callable
from datetime import datetime
from itertools import groupby
from pathlib import Path

from catalog.cli.main import run
from catalog.dates import moment
from catalog.documents import certificate as document
from catalog.documents.presentation import presentation
from catalog.events import Event
from catalog.records import artist_keys, certificates, items
from catalog.records.certificates import Certificate
from catalog.records.private_keys import KeyRing
from catalog.store import connection as store
from catalog.store import journal
from labels.certificate import lay_out
from labels.drawing import Cells, Rule, Square, Text
from labels.geometry import page_size, points
from tests.benchmarks import bare_prints
from tests.benchmarks.pairs import Row, ratio

PAGE = "A4"
MASK = 4  # the mask that our symbols have; choosing one of eight would be most of the peer's work
# The floor is two signatures and a row, a tenth of a millisecond. What must come on top: a dozen queries for the facts
# of each print, its evidence, three canonical texts, the guards, the journal's copy of every row, the seal over all of
# it. A thousand are to take no longer than it takes to fetch the paper for the printer.
MOST_TIMES, MOST_MILLISECONDS = 15, 5


def build(folder: Path, prints: int) -> Path:
    """A catalog whose prints are all signed, each with the next number of one edition."""
    bare_prints.build(folder, prints)
    assert run(["--catalog", str(folder), "sign", f"1-{prints}", "--anyway", "bench"]) == 0
    return folder


def issue_all(folder: Path, prints: int) -> list[Certificate]:
    """Issue a certificate for every print as one command does: one transaction, sealed at its end."""
    opened = store.open_catalog(folder, writing=True)
    now = datetime.now().astimezone()
    event = Event(moment(None, None, now), "bench")
    keys, look = KeyRing(folder), presentation(folder)
    opened.execute("BEGIN IMMEDIATE")
    things = items.find(opened, f"1-{prints}", "print")
    issued = [document.issue(opened, event, thing.id, keys, look) for thing in things]
    journal.seal(
        opened, sealed=now.isoformat(), by="bench", command="certificate issue", touched=[t.id for t in things]
    )
    opened.execute("COMMIT")
    opened.close()
    return issued


def sign_and_insert(folder: Path, issued: list[Certificate], pem: bytes) -> None:
    """The floor: both signatures of the same bytes, and the same texts in a table without guards, one transaction."""
    from cryptography.hazmat.primitives.serialization import load_pem_private_key

    opened = sqlite3.connect(folder / "bare.db", isolation_level=None)
    opened.execute("PRAGMA synchronous = EXTRA")
    opened.execute("CREATE TABLE certificate (id INTEGER PRIMARY KEY, facts, private_facts, jws, slip)")
    key = load_pem_private_key(pem, password=None)
    opened.execute("BEGIN IMMEDIATE")
    for one in issued:
        for signed in (one.jws, one.slip):
            key.sign(signed[: signed.rindex(".")].encode())  # type: ignore[union-attr, call-arg]
        opened.execute(
            "INSERT INTO certificate (facts, private_facts, jws, slip) VALUES (?, ?, ?, ?)",
            (one.facts, one.private_facts, one.jws, one.slip),
        )
    opened.execute("COMMIT")
    opened.close()


def issuing(folder: Path, prints: int, rounds: int) -> list[Row]:
    """Milliseconds a certificate, and how often the floor goes into it; each round on a fresh copy of the catalog."""
    built = build(folder / "signed", prints)
    opened = store.open_catalog(built, writing=False)
    pem = KeyRing(built).signing(opened, "artist").pem
    opened.close()
    each, against = [], []
    for number in range(rounds):
        at = Path(shutil.copytree(built, folder / f"round {number}"))
        began = time.perf_counter()
        issued = issue_all(at, prints)
        middle = time.perf_counter()
        sign_and_insert(at, issued, pem)
        ended = time.perf_counter()
        each.append((middle - began) * 1000 / prints)
        against.append((middle - began) / (ended - middle))
    return [
        Row(f"issuing {prints:,} certificates, milliseconds each", "-", statistics.median(each), MOST_MILLISECONDS),
        Row(
            f"issuing {prints:,} certificates",
            "signing both, and a bare insert",
            statistics.median(against),
            MOST_TIMES,
        ),
    ]


def papers(folder: Path) -> tuple[Callable[[], object], Callable[[], object]]:
    """One certificate as the program draws, signs and attaches it; and a bare page with the same on it."""
    opened = store.open_catalog(folder, writing=False)
    issued = certificates.listed(opened)[0]
    key = KeyRing(folder).private(opened, artist_keys.all_keys(opened)[0])
    opened.close()
    page = page_size(PAGE)
    pieces = lay_out(document.content(issued), page)
    return lambda: document.paper(issued, PAGE, key), lambda: bare_page(pieces, document.content(issued).address)


def bare_page(pieces: list[object], address: str) -> bytes:
    """The same words, lines and code drawn one after another by the libraries alone; where they go is known already."""
    import qrcode
    from qrcode.constants import ERROR_CORRECT_L, ERROR_CORRECT_M
    from reportlab.pdfgen.canvas import Canvas

    out = io.BytesIO()
    page = page_size(PAGE)
    high = points(page.height)
    canvas = Canvas(out, pagesize=(points(page.width), high), pageCompression=1)
    for piece in pieces:
        if isinstance(piece, Text | Cells):
            canvas.setFont(piece.face.name, piece.size)
            canvas.drawString(piece.left, high - piece.baseline, piece.text)
        elif isinstance(piece, Rule):
            canvas.line(piece.left, high - piece.top, piece.right, high - piece.bottom)
        elif isinstance(piece, Square):
            level = ERROR_CORRECT_L if piece.symbol.modules < modules_at_m(address) else ERROR_CORRECT_M
            code = qrcode.QRCode(error_correction=level, mask_pattern=MASK)
            code.add_data(address, optimize=0)
            code.make()
            side = points(piece.module)
            path = canvas.beginPath()
            for y, line in enumerate(code.modules):
                x = 0
                for dark, run_of in groupby(line):
                    wide = len(list(run_of))
                    if dark:
                        path.rect(piece.left + x * side, high - piece.top - (y + 1) * side, wide * side, side)
                    x += wide
            canvas.drawPath(path, stroke=0, fill=1)
    canvas.save()
    return out.getvalue()


def modules_at_m(address: str) -> int:
    """How many modules a side the symbol of an address has at level M."""
    from labels.qr import empty_symbol

    return empty_symbol(address).modules


def rows(folder: Path, prints: int, rounds: int) -> list[Row]:
    """All rows about certificates; `folder` is made."""
    found = issuing(folder, prints, max(rounds // 7, 2))
    ours, bare = papers(folder / "round 0")
    found.append(
        Row(
            "a certificate, signed, with attachments",
            "a bare page, same text, code and mask",
            ratio(ours, bare, rounds),
            1.5,
        )
    )
    return found
