"""Whatever file is given to a command that takes one: a sentence and exit 1 or 2, soon, and nothing changed."""

import json
import os
import random
import shlex
import shutil
import signal
import sqlite3
import zipfile
from collections.abc import Iterator
from pathlib import Path
from types import FrameType

import click
import pytest
from PIL import Image

from catalog.cli.main import run, tirage
from catalog.cli.options import OperandCommand
from tests.faults.load import begun
from tests.soaks import rounds

SECONDS = 30  # that one command may take at the very most, on a machine that has much else to do
NOUNS = ("negatives", "prints", "editions", "places", "parties", "tests")
# Every parameter that names what is read -> the line that gives it; a new one has to be put here or below.
READS: dict[str, tuple[str, ...]] = {
    "init --passphrase-file": ("init {folder}/../new --artist X --passphrase-file {file}",),
    "session enter --file": ("session enter --file {file}",),
    "calibrate wash --file": ("calibrate wash trial9 --file {file} --washer slots --method laboratory",),
    "picture add --file": ("picture add n1 {file}",),
    "certificate issue --passphrase-file": ("certificate issue 2 --anyway x --passphrase-file {file}",),
    "certificate show --passphrase-file": ("certificate show c1 --draw --passphrase-file {file}",),
    "certificate verify --file": ("certificate verify {file}", "certificate verify {paper} --key {file}"),
    "key protect --passphrase-file": ("key protect --passphrase-file {file}",),
    "key protect --old-passphrase-file": ("key protect --old-passphrase-file {file} --passphrase-file {file}",),
    "key renew --new-passphrase-file": ("key renew --new-passphrase-file {file}",),
    "key renew --passphrase-file": ("key renew --passphrase-file {file}",),
    "check --against": ("check --against {file}",),
    "import --file": tuple(f"import {noun} {{file}}" for noun in NOUNS),
    "import --mapping": ("import negatives {table} --mapping {file}",),
    "restore --backup": ("restore {file} --into {folder}/../restored",),
    "backup --passphrase-file": ("backup {folder}/../copies --passphrase-file {file}",),
    "browse --from": (),  # serves until it is stopped; what it opens is looked at by `publish --to`
}
# Every parameter that names what is written.
WRITES: dict[str, tuple[str, ...]] = {
    "init --folder": ("init {file} --artist X",),
    "demo --folder": ("demo {file}",),
    "recipe card --out": ("recipe card e1 --out {file}",),
    "recipe trials --out": ("recipe trials n1 --out {file}",),
    "session sheet --file": ("session sheet e1 1 --file {file}",),
    "session sheet --out": ("session sheet e1 1 --out {file}",),
    "calibrate draw --out": ("calibrate draw --out {file}",),
    "key sheet --out": ("key sheet --out {file}",),
    "label --out": ("label 1 --out {file}",),
    "provenance --out": ("provenance 1 --out {file}",),
    "publish --to": ("publish {file}",),
    "due --calendar": ("due --calendar {file}",),
    "import --into": ("import negatives {table} --into {file}",),
    "backup --place": ("backup {file}",),
    "restore --into": ("restore {folder}/../copies --into {file}",),
    "export bag --to": ("export bag {file}",),
    "export gallery --to": ("export gallery {file}",),
    "export linked-data --to": ("export linked-data {file}",),
    "export schema --to": ("export schema {file}",),
}
MAY_DO = {  # what takes nearly anything, rightly
    "check --against",  # a finding
    "init --passphrase-file",
    "key protect --passphrase-file",
    "key protect --old-passphrase-file",
    "key renew --new-passphrase-file",
    "key renew --passphrase-file",
    "backup --passphrase-file",
    "certificate issue --passphrase-file",
    "certificate show --passphrase-file",
}


def parameters(command: click.Command, path: tuple[str, ...] = ()) -> Iterator[str]:
    """Every parameter of the program that names a file or a folder, by its type or by what it is called."""
    if isinstance(command, click.Group):
        context = click.Context(command)
        for name in command.list_commands(context):
            one = command.get_command(context, name)
            if one is not None:
                yield from parameters(one, (*path, name))
        return
    assert isinstance(command, OperandCommand), path  # its operands have options of their own
    for one in command.params:
        told = one.metavar or ""
        if isinstance(one, click.Option) and (
            isinstance(one.type, click.Path | click.File) or "FILE" in told or "DIR" in told
        ):
            yield " ".join((*path, one.opts[0]))


def test_no_parameter_that_takes_a_file_is_forgotten() -> None:
    assert set(parameters(tirage)) - (READS.keys() | WRITES.keys()) == set()


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Path:
    os.environ["TIRAGE_BY"] = "tester"
    folder = begun(tmp_path_factory.mktemp("any-file") / "catalog")
    for line in ("sign 1-2 --anyway x", "certificate issue 1 --anyway x", "promise e1:9 --to Buyer --until 2030"):
        assert run(["--catalog", str(folder), *line.split()]) == 0, line
    (folder.parent / "plates.csv").write_text("Title,Made\nOne,1998\nTwo,c. 1950\n")
    return folder


@pytest.fixture(scope="module")
def corpus(built: Path, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("corpus")
    chance = random.Random(9)

    def made(name: str, content: bytes) -> Path:
        (folder / name).write_bytes(content)
        return folder / name

    Image.new("RGB", (64, 64), "red").save(folder / "whole.png")
    with zipfile.ZipFile(folder / "whole.xlsx", "w", zipfile.ZIP_DEFLATED) as book:
        book.writestr("[Content_Types].xml", "<Types/>")
        book.writestr("xl/workbook.xml", "<workbook/>")
        book.writestr("xl/worksheets/sheet1.xml", " " * 20_000_000)
    other = sqlite3.connect(folder / "other.db")
    other.execute("CREATE TABLE something (x)")
    other.commit()
    other.close()
    os.mkfifo(folder / "pipe")
    (folder / "directory").mkdir()
    with (folder / "zeros.csv").open("wb") as file:
        file.truncate(50_000_000)
    (folder / "ring").symlink_to(folder / "ring")
    paper = (built / "out" / "certificate-C-0001.pdf").read_bytes()
    return {
        "nothing": made("nothing", b""),
        "one zero": made("one.csv", b"\0"),
        "random bytes": made("random.pdf", chance.randbytes(4096)),
        "zeros without end, nearly": folder / "zeros.csv",
        "a directory": folder / "directory",
        "a pipe": folder / "pipe",
        "a device": Path("/dev/zero"),
        "a link in a ring": folder / "ring",
        "no file": folder / "there is none.toml",
        "a name too long": folder / ("x" * 300),
        "half a PDF": made("half.pdf", paper[: len(paper) // 2]),
        "half a PNG": made("half.png", (folder / "whole.png").read_bytes()[:90]),
        "half an XLSX": made("half.xlsx", (folder / "whole.xlsx").read_bytes()[:-40]),
        "an XLSX of nothing": folder / "whole.xlsx",
        "UTF-16": made("utf-16.csv", "Title,Made\nŽofie,1998\n".encode("utf-16")),
        "another's database": folder / "other.db",
        "deep JSON": made("deep.json", b"[" * 100_000),
        "deep TOML": made("deep.toml", b"a = " + b"[" * 100_000),
        "a line without end, nearly": made("line.csv", b"a,b\n" + b"x" * 10_000_000),
        "quotes that never close": made("quote.csv", b'a,b\n"' + b"x,\n" * 100_000),
        "a table of formulas": made("formula.csv", b"Title,Made\n=cmd|' /C x'!A0,1998\n"),
        "a catalog": built / "catalog.db",
    }


class TooLongError(AssertionError):
    """A command that did not come to its end."""


def ring(number: int, frame: FrameType | None) -> None:
    raise TooLongError


def answered(line: str, folder: Path, file: Path, capsys: pytest.CaptureFixture[str]) -> int:
    """The status of a line about a file; it ended soon, in a sentence."""
    names = {
        "file": shlex.quote(str(file)),
        "folder": shlex.quote(str(folder)),
        "paper": shlex.quote(str(folder / "out" / "certificate-C-0001.pdf")),
        "table": shlex.quote(str(folder.parent / "plates.csv")),
    }
    words = shlex.split(line.format(**names))
    capsys.readouterr()
    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(SECONDS)
    try:
        status = run(["--catalog", str(folder), *words])
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)
    out, err = capsys.readouterr()
    assert status in (0, 1, 2), (line, file, err)
    assert "Traceback" not in out + err and "nobody foresaw" not in err, (line, file, err)
    assert status == 0 or len(out + err) > 30, (line, file)
    return status


def lines_of(table: dict[str, tuple[str, ...]]) -> list[tuple[str, str]]:
    known = set(parameters(tirage))
    return [(name, line) for name, lines in table.items() if name in known for line in lines]


@pytest.fixture
def folder(built: Path, tmp_path: Path) -> Path:
    shutil.copy(built.parent / "plates.csv", tmp_path / "plates.csv")
    return Path(shutil.copytree(built, tmp_path / "catalog"))


def rows(folder: Path) -> list[str]:
    with sqlite3.connect(folder / "catalog.db") as opened:
        return list(opened.iterdump())


# What takes long, or reads a file as another line does, meets these alone but in a soak.
SLOW = [
    (name, line)
    for name, line in lines_of(READS)
    if "passphrase" in name or name == "check --against" or (name == "import --file" and "negatives" not in line)
]
FEW = ("nothing", "random bytes", "a directory", "a device", "a link in a ring", "deep JSON")


@pytest.mark.parametrize(("name", "line"), lines_of(READS))
def test_whatever_is_read(
    folder: Path, corpus: dict[str, Path], capsys: pytest.CaptureFixture[str], name: str, line: str
) -> None:
    read(folder, {what: corpus[what] for what in FEW} if (name, line) in SLOW else corpus, capsys, name, line)


@pytest.mark.soak
@pytest.mark.parametrize(("name", "line"), SLOW)
def test_whatever_is_read_slowly(
    folder: Path, corpus: dict[str, Path], capsys: pytest.CaptureFixture[str], name: str, line: str
) -> None:
    read(folder, corpus, capsys, name, line)


def read(folder: Path, files: dict[str, Path], capsys: pytest.CaptureFixture[str], name: str, line: str) -> None:
    before = rows(folder)
    for what, file in files.items():
        if what == "a pipe" and "passphrase" in name:
            continue  # a shell makes one of `<(command)`: it is waited for, PATIENCE seconds
        status = answered(line, folder, file, capsys)
        assert status != 0 or name in MAY_DO or name.startswith(("import", "certificate verify")), (line, what)
        if name not in MAY_DO:
            assert rows(folder) == before, (line, what)
        shutil.rmtree(folder.parent / "new", ignore_errors=True)


@pytest.mark.parametrize(("name", "line"), lines_of(WRITES))
def test_wherever_it_is_to_be_written(
    folder: Path, corpus: dict[str, Path], capsys: pytest.CaptureFixture[str], name: str, line: str
) -> None:
    """What is there is never written over, nor waited for; a link that leads nowhere may make way."""
    theirs, link = folder.parent / "theirs.pdf", folder.parent / "ring"
    theirs.write_bytes(corpus["random bytes"].read_bytes())
    link.symlink_to(link)
    for file in (theirs, corpus["a pipe"], link, corpus["a name too long"], file_below(corpus), Path("/dev/full")):
        answered(line, folder, file, capsys)
    assert theirs.read_bytes() == corpus["random bytes"].read_bytes()
    assert Path("/dev/full").is_char_device() and corpus["a pipe"].is_fifo()


def file_below(corpus: dict[str, Path]) -> Path:
    return corpus["one zero"] / "x.pdf"


STRANGE = (b"\0", b"\xff\xfe", b'"', b"[[", b"=1", "\u202e".encode(), b"\r")
SPOILT = {  # readers that a person's file reaches -> a good file of theirs
    "session enter --file {file}": ("day.toml", b'[[print]]\ncode = "1"\nkept = true\n[[step]]\nkind = "fix 1"\n'),
    "import negatives {file}": ("plates.csv", b"Title,Made,Size\nOne,1998,8x10in\nTwo,c. 1950,whole plate\n"),
    "certificate verify {file}": ("paper.pdf", b""),
    "certificate verify {paper} --key {file}": ("key.json", json.dumps({"kty": "OKP", "crv": "Ed25519"}).encode()),
    "picture add n1 {file}": ("plate.png", b""),
    "import negatives {table} --mapping {file}": ("map.toml", b'[columns]\nTitle = "title"\n'),
}


@pytest.mark.parametrize("line", SPOILT)
def test_a_good_file_spoilt(
    folder: Path, corpus: dict[str, Path], tmp_path: Path, capsys: pytest.CaptureFixture[str], line: str
) -> None:
    """Bytes of a good file turned, cut out, doubled or put in at random; each is understood or refused."""
    name, good = SPOILT[line]
    if line.startswith("import") and "import --file" not in set(parameters(tirage)):
        pytest.skip("there is no import")
    if name.endswith(".pdf"):
        good = (folder / "out" / "certificate-C-0001.pdf").read_bytes()
    elif name.endswith(".png"):
        good = (corpus["half a PNG"].parent / "whole.png").read_bytes()
    chance, file = random.Random(line), tmp_path / name
    for _ in range(rounds(400, 20) if os.environ.get("TIRAGE_SOAK") else 20):
        spoilt = bytearray(good)
        for _ in range(chance.randint(1, 4)):
            place = chance.randrange(len(spoilt) or 1)
            length = chance.randint(1, 9)
            match chance.randrange(4):
                case 0:
                    spoilt[place : place + 1] = chance.randbytes(1)
                case 1:
                    del spoilt[place : place + length]
                case 2:
                    spoilt[place:place] = spoilt[place : place + length]
                case _:
                    spoilt[place:place] = chance.choice(
                        [b"\0", b"\xff\xfe", b'"', b"[[", b"=1", "\u202e".encode(), b"\r"]
                    )
        file.write_bytes(spoilt)
        answered(line, folder, file, capsys)
