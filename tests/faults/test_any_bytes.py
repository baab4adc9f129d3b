"""Whatever bytes a reader is given: it reads them, or refuses them in a sentence."""

import csv
import json
import os
import shutil
from collections.abc import Callable
from io import BytesIO, StringIO
from pathlib import Path
from typing import NamedTuple

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from catalog import locked_keys, signing
from catalog.cli.calibration_points import from_file
from catalog.cli.certificate_check import _keys
from catalog.cli.main import run
from catalog.cli.passphrases import read_passphrase
from catalog.documents import presentation, verification
from catalog.errors import TirageError
from catalog.exchange.bag.rebuild import import_bag
from catalog.exchange.bag.validation import validate
from catalog.exchange.importing import mapping
from catalog.exchange.importing.importers import importer
from catalog.exchange.importing.tables import read_table
from catalog.rules.sessions import files
from catalog.store import backup_log, manifest, restoring
from tests.faults.load import begun
from tests.soaks import rounds


class Reader(NamedTuple):
    """A good file, how bytes in its place are read, and how often that is tried in the short run."""

    good: bytes
    read: Callable[[bytes], object]
    tries: int


class Edit(NamedTuple):
    """From a place (in 10,000ths of the file) on, so many bytes give way to others."""

    place: int
    length: int
    instead: bytes


STRANGE = (b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b'"', b"[[", b"]", b"{", b"=1", "\u202e".encode(), b"\r", b"\n", b"NaN",
           b"9" * 30, b"-1", b"1e999", b"true", b"null", b"../", b"/", b"\\u0000", b"\\ud800")  # fmt: skip
EDIT = st.builds(
    Edit, st.integers(0, 10_000), st.integers(0, 12), st.sampled_from(STRANGE) | st.binary(max_size=6)
)  # fmt: skip
SPOILT = st.lists(EDIT, min_size=1, max_size=4) | st.binary(max_size=60)
LONG = 3_000  # tries of a reader in the soak; of one that takes long, a hundredth


def spoil(good: bytes, how: list[Edit] | bytes) -> bytes:
    if isinstance(how, bytes):
        return how
    for edit in how:
        place = len(good) * edit.place // 10_000
        good = good[:place] + edit.instead + good[place + edit.length :]
    return good


def workbook() -> bytes:
    from openpyxl import Workbook

    book, into = Workbook(), BytesIO()
    for row in (("Title", "Made"), ("One", 1998), ("Two", "c. 1950")):
        book.active.append(row)
    book.save(into)
    return into.getvalue()


def table() -> bytes:
    into = StringIO()
    csv.writer(into).writerows([("Title", "Made"), ("One, 'a'", "1998"), ('Two "b"', "c. 1950"), ("Three\nlines", "")])
    return into.getvalue().encode()


DAY = b"""[[print]]\ncode = "1"\nkept = true\n[[step]]\nkind = "fix 1"\nat = "10:00"\n[[test]]\ncode = "1"\n"""
MAPPING = b'[columns]\nTitle = "title"\nMade = "made"\n[options]\nunit = "cm"\n[parties]\n"G" = "Gallery"\n'
SETTINGS = b'units = "cm"\naddress = "https://example.org"\n'
READINGS = b"time,left\n5m,9ug/cm2\n9m,6ug/cm2\n20m,3ug/cm2\n"


@pytest.fixture(scope="module")
def readers(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Reader]:
    os.environ["TIRAGE_BY"] = "tester"
    at = tmp_path_factory.mktemp("any-bytes")
    catalog = begun(at / "catalog")
    for line in ("sign 1 --anyway x", "certificate issue 1 --anyway x", f"backup {at / 'copies'}",
                 f"export bag {at / 'bag'}"):  # fmt: skip
        assert run(["--catalog", str(catalog), *line.split()]) == 0, line
    key = next((at / "bag").rglob("keys/all-keys.json")).read_bytes()
    statement = next((at / "bag").rglob("statement.jws")).read_bytes()
    known = signing.read_public(key.decode())
    kept = next((at / "copies").glob(f"backup-*/{manifest.FILE}"))
    pem = next((catalog / "keys").glob("*.pem")).read_bytes()
    fields = importer("negatives").fields

    def beside(path: Path, read: Callable[[Path], object]) -> Callable[[bytes], object]:
        def reading(data: bytes) -> object:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            return read(path)

        return reading

    def rebuilt(name: str) -> Callable[[bytes], object]:
        """A file of a bag, with the manifests to fit: the digests are no hindrance to who changes a bag on purpose."""

        def reading(data: bytes) -> object:
            import bagit

            shutil.rmtree(at / "forged", ignore_errors=True)
            shutil.rmtree(at / "rebuilt", ignore_errors=True)
            shutil.copytree(at / "bag", at / "forged")
            (at / "forged" / name).write_bytes(data)
            bagit.Bag(str(at / "forged")).save(manifests=True)
            from datetime import UTC, datetime

            return import_bag(at / "forged", at / "rebuilt", datetime(2026, 11, 25, tzinfo=UTC))

        return reading

    rows = "data/tables/negative.csv"
    shutil.copytree(at / "bag", at / "spoilt")

    def tag(name: str) -> Reader:
        good = (at / "bag" / name).read_bytes()
        return Reader(good, beside(at / "spoilt" / name, lambda path: validate(at / "spoilt")), 4)

    return {
        "a day sheet, TOML": Reader(DAY, lambda data: files.read("day.toml", data), 60),
        "a day sheet, CSV": Reader(b"print,kept\n1,yes\n", lambda data: files.read("day.csv", data), 60),
        "a certificate": Reader(
            (catalog / "out" / "certificate-C-0001.pdf").read_bytes(), lambda data: verification.verify(data, known), 6
        ),
        "a statement": Reader(statement, lambda data: verification.verify(data, known), 40),
        "keys": Reader(key, beside(at / "key.json", lambda path: _keys(str(path))), 60),
        "a private key": Reader(pem, signing.public_half, 40),
        "a locked key": Reader(
            locked_keys.lock(pem, "a long passphrase of words"),
            lambda data: locked_keys.is_locked(data) and locked_keys.unlock(data, "another of the same", "key"),
            3,
        ),
        "a passphrase": Reader(b"some words\n", beside(at / "word", lambda path: read_passphrase(str(path))), 30),
        "a table, CSV": Reader(table(), beside(at / "plates.csv", read_table), 60),
        "a table, XLSX": Reader(workbook(), beside(at / "plates.xlsx", read_table), 25),
        "a mapping": Reader(MAPPING, beside(at / "map.toml", lambda path: mapping.read(path, fields)), 60),
        "readings": Reader(READINGS, beside(at / "trial.csv", lambda path: from_file(str(path), "silver")), 60),
        "settings": Reader(
            SETTINGS, beside(at / "own" / "settings.toml", lambda path: presentation.presentation(path.parent)), 60
        ),
        "a backup's manifest": Reader(
            kept.read_bytes(),
            beside(at / "backup" / manifest.FILE, lambda path: manifest.read(path.parent)),
            60,
        ),
        "where backups went": Reader(
            json.dumps({"backups": []}).encode(),
            beside(at / "log" / backup_log.FILE, lambda p: backup_log.read(p.parent)),
            40,
        ),  # fmt: skip
        "a restore's plan": Reader(
            b'{"aside": "set-aside-2026-11-25-120000"}',
            beside(at / "plan" / restoring.PLAN, lambda path: restoring._planned(at, path.parent)),
            40,
        ),
        "a bag's declaration": tag("bagit.txt"),
        "a bag's description": tag("bag-info.txt"),
        "a bag's manifest": tag("manifest-sha256.txt"),
        "a bag's rows": Reader((at / "bag" / rows).read_bytes(), rebuilt(rows), 0),
    }


NAMES = (
    "a day sheet, TOML", "a day sheet, CSV", "a certificate", "a statement", "keys", "a private key",
    "a locked key", "a passphrase", "a table, CSV", "a table, XLSX", "a mapping", "readings", "settings",
    "a backup's manifest", "where backups went", "a restore's plan", "a bag's declaration", "a bag's description",
    "a bag's manifest", "a bag's rows",
)  # fmt: skip


def attempt(reader: Reader, tries: int) -> None:
    @settings(max_examples=tries, deadline=None, database=None, suppress_health_check=list(HealthCheck))
    @given(SPOILT)
    def any_bytes(how: list[Edit] | bytes) -> None:
        try:
            reader.read(spoil(reader.good, how))
        except TirageError as refusal:
            assert len(refusal.sentence) > 30, refusal.sentence

    any_bytes()


def test_every_reader(readers: dict[str, Reader]) -> None:
    for reader in readers.values():
        if reader.tries:
            attempt(reader, reader.tries)


@pytest.mark.soak
@pytest.mark.parametrize("name", NAMES)
def test_every_reader_for_long(readers: dict[str, Reader], name: str) -> None:
    slow = readers[name].tries < 30
    attempt(readers[name], rounds(LONG, 400) // (100 if slow else 1))


def test_none_is_forgotten(readers: dict[str, Reader]) -> None:
    assert tuple(readers) == NAMES
