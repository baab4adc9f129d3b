"""Labels, provenance sheets and where finished documents are kept."""

import datetime
from io import BytesIO

import pikepdf
import pytest

from catalog.dates import moment
from catalog.documents import certificate, filing, labels, provenance, wording
from catalog.documents.presentation import Presentation
from catalog.events import Event
from catalog.money import Money
from catalog.records import (
    catalogs,
    certificates,
    designations,
    editions,
    negatives,
    papers,
    parties,
    prints,
    private_keys,
    settings,
    transfers,
)
from catalog.rules.disclosure import differences
from catalog.store import connection as store

NOW = datetime.datetime(2026, 5, 3, 15, 40, tzinfo=datetime.UTC)
ADDRESS = "https://studio.example.org"


def event(day, note=""):
    return Event(moment(day, None, NOW), "studio", note)


@pytest.fixture
def studio(tmp_path):
    """One plate; an edition of three with two prints, one on resin-coated paper; the first signed and sold."""
    connection = store.create(tmp_path / "catalog")
    catalogs.begin(connection, "Mara Example", "1971", "", "", "Saltmere", "2026-01-01")
    settings.begin(connection, "2026-01-01")
    private_keys.begin(connection, tmp_path / "catalog", "2026-01-01")
    plate = negatives.add(
        connection,
        event("2026-01-02"),
        "Low water",
        process="wet-collodion negative",
        support="glass",
        size=(203_200, 254_000),
        mark="LW 1",
        state="ready",
    )
    edition = editions.declare(
        connection,
        event("2026-01-03"),
        plate.id,
        "Low water",
        3,
        {"AP": 1},
        process="gelatin silver print",
        toning="gold",
    )
    fibre = papers.add(connection, "warm", "warm-tone fibre-base paper", base="fibre")
    resin = papers.add(connection, "plain", "resin-coated paper", base="resin-coated")
    first = prints.make(connection, event("2026-02-01", "bought by K."), edition, 1, paper=fibre.id)[0]
    second = prints.make(connection, event("2026-02-01"), edition, 1, paper=resin.id)[0]
    designations.sign(connection, event("2026-03-01"), first)
    buyer = parties.add(connection, "Bettina Käufer", "collector")
    transfers.sell(connection, event("2026-04-01"), first, buyer.id, Money(123_450, "EUR"))
    return connection, plate, first, second, tmp_path / "catalog"


def said(content):
    """All words of a sheet."""
    words = [content.kind, content.subtitle, content.footer, *(f"{name} {value}" for name, value in content.facts)]
    for section in content.sections:
        words += [section.heading, *section.paragraphs, *section.notes]
        words += [cell for row in (section.table.rows if section.table else ()) for cell in row]
    return "\n".join(words)


def test_labels_of_prints(studio):
    connection, _, first, second, folder = studio
    certificate.issue(connection, event("2026-05-01"), first.id, private_keys.KeyRing(folder), Presentation())
    one, two = labels.print_labels(connection, [first.id, second.id], ADDRESS)
    assert (one.code, one.address) == ("P-000001", "HTTPS://STUDIO.EXAMPLE.ORG/P/P-000001")
    assert one.lines == ("1/3", "printed 2026", "gelatin silver print", "20.3 × 25.4 cm", "Certificate C-0001")
    assert one.note == wording.LABEL_NOTE and "never on the print" in one.note
    assert not any("Certificate" in line for line in two.lines)
    assert labels.sheet_of([one, two], "a4-3x8", 4, "Labels").startswith(b"%PDF")
    for stock, start in (("nothing", 1), ("a4-3x8", 25)):
        with pytest.raises(labels.LabelsError):
            labels.sheet_of([one], stock, start, "Labels")


def test_labels_of_sleeves(studio):
    connection, plate, *_ = studio
    label = labels.sleeve_labels(connection, [plate.id], ADDRESS)[0]
    assert label.note == "Write before the plate goes in"
    assert label.lines == ("wet-collodion negative on glass", "20.3 × 25.4 cm", "Mark: LW 1")


def test_what_may_be_pencilled(studio):
    connection, _, first, second, _ = studio
    assert labels.pencil_line(connection, first.id) == "P-000001, Mara Example, Low water, 1/3, printed 2026"
    assert labels.pencil_line(connection, second.id) == "", "resin-coated paper takes no pencil"


def test_public_and_private_sheet(studio):
    connection, _, first, _, folder = studio
    one = certificate.issue(connection, event("2026-05-01"), first.id, private_keys.KeyRing(folder), Presentation())
    certificates.revoke(connection, event("2026-05-02"), one.id, "a slip")
    public = provenance.provenance_sheet(connection, first.id, ADDRESS, False, "2026-05-03")
    private = provenance.provenance_sheet(connection, first.id, ADDRESS, True, "2026-05-03")
    assert [section.heading for section in public.sections] == [
        "The plate",
        "The edition",
        "The print",
        "Processing and residual chemistry",
        "Provenance",
        "Certificates",
    ]
    for word in ("Käufer", "1,234", "bought by"):
        assert word not in said(public) and word in said(private), word
    assert "revoked: a slip" in said(private) and "a slip" not in said(public) and "revoked" in said(public)
    assert "edition intended gold" in said(public)
    assert provenance.drawn(public, "A4").startswith(b"%PDF")


# intended, actual -> whether the print differs
TONING = {
    ("selenium", "selenium toner 1+20, 2 min"): False,
    ("", ""): False,
    ("none", ""): False,
    ("untoned", ""): False,
    ("gold", ""): True,
    ("selenium", "gold toner, 5 min"): True,
    ("", "gold toner"): False,  # nothing was stated, so nothing differs
    ("untoned", "gold toner"): True,
    ("none", "gold toner"): True,
    ("selenium 1+9", "selenium toner 1+20"): True,
    ("selenium-toned", "selenium toner 1+20, 2 min"): False,
}


@pytest.mark.parametrize("pair", TONING)
def test_differences_from_what_was_intended(studio, pair):
    connection, _, first, *_ = studio
    edition = editions.read(connection, prints.read(connection, first.id).edition)
    changed = differences(_with_toning(edition, pair[0]), "", pair[1])
    assert bool(changed) == TONING[pair], changed


def _with_toning(edition, toning):

    return edition._replace(toning=toning, paper="")


def test_file_names():
    codes = [f"P-{serial:06d}" for serial in range(1, 7)]
    assert filing.name_of("labels", codes) == "labels-P-000001-P-000006.pdf"
    assert filing.name_of("labels", ["N-0001"]) == "labels-N-0001.pdf"
    names = {filing.name_of("labels", chosen) for chosen in (codes, [codes[0], codes[5]], codes[:5], codes[::2])}
    assert len(names) == 4
    scattered = [f"P-{serial:06d}" for serial in range(1, 2000, 2)]
    assert len(filing.name_of("labels", scattered)) < 60


def test_only_the_same_document_is_written_over(tmp_path):
    def pdf(title):
        with pikepdf.new() as new:
            new.add_blank_page()
            new.docinfo["/Title"] = title
            out = BytesIO()
            new.save(out)
            return out.getvalue()

    path = tmp_path / "out" / "labels-N-0001.pdf"
    filing.keep(path, pdf("Labels N-0001"), "Labels N-0001")
    filing.keep(path, pdf("Labels N-0001"), "Labels N-0001")
    for foreign in (pdf("Something else"), b"my own notes"):
        path.write_bytes(foreign)
        with pytest.raises(filing.OtherDocumentError):
            filing.keep(path, pdf("Labels N-0001"), "Labels N-0001")
        assert path.read_bytes() == foreign
    (tmp_path / "file").write_text("x")
    with pytest.raises(filing.NotWrittenError):
        filing.keep(tmp_path / "file" / "x.pdf", b"", "x")
    assert [entry.name for entry in path.parent.iterdir()] == [path.name]
