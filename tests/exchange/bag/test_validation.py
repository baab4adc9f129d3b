"""Bags from outside: what is whole is taken; what was altered, lost or leads out is refused in a sentence."""

import hashlib
import shutil
from collections.abc import Callable
from pathlib import Path

import bagit
import pytest

from catalog.cli.main import run
from catalog.exchange.bag.errors import ForeignBagError, NewerBagError, NotABagError, NotProvedError, NotRebuiltError
from catalog.exchange.bag.rebuild import import_bag
from catalog.exchange.bag.validation import validate
from catalog.store.connection import FolderNotEmptyError
from tests.exchange.bag.conftest import NOW

Spoil = Callable[[Path], object]


def edit(path: Path, before: str, after: str) -> None:
    """Change text in a file."""
    text = path.read_text(encoding="utf-8")
    assert before in text
    path.write_text(text.replace(before, after, 1), encoding="utf-8")


def resealed(bag: Path) -> None:
    """Make every manifest anew, as somebody would who alters a bag with care."""
    for name in ("sha256", "sha512"):
        (bag / f"manifest-{name}.txt").write_text(digests(bag, name, bag / "data"), encoding="utf-8")
    payload = [path for path in (bag / "data").rglob("*") if path.is_file()]
    lines = (bag / "bag-info.txt").read_text(encoding="utf-8").splitlines()
    oxum = f"Payload-Oxum: {sum(path.stat().st_size for path in payload)}.{len(payload)}"
    lines = [oxum if line.startswith("Payload-Oxum") else line for line in lines]
    (bag / "bag-info.txt").write_text("\n".join(lines) + "\n", encoding="utf-8")
    for name in ("sha256", "sha512"):
        (bag / f"tagmanifest-{name}.txt").unlink()


def digests(bag: Path, name: str, below: Path) -> str:
    """A manifest over everything below a folder."""
    return "".join(
        f"{hashlib.new(name, path.read_bytes()).hexdigest()}  {path.relative_to(bag).as_posix()}\n"
        for path in sorted(below.rglob("*"))
        if path.is_file()
    )


SPOILED: tuple[tuple[str, Spoil, str], ...] = (
    ("a changed byte", lambda bag: edit(bag / "data/tables/print.csv", "1", "2"), "not as it was packed"),
    ("a changed description", lambda bag: edit(bag / "bag-info.txt", "PRIVATE", "PUBLIC"), "not as it was packed"),
    ("a lost file", lambda bag: (bag / "data/tables/print.csv").unlink(), "is missing"),
    ("a file too many", lambda bag: (bag / "data/more.txt").write_text("x"), "is not in manifest"),
    ("no declaration", lambda bag: (bag / "bagit.txt").unlink(), "no bagit.txt"),
    ("another version", lambda bag: edit(bag / "bagit.txt", "1.0", "2.0"), "version"),
    ("no manifest", lambda bag: [path.unlink() for path in bag.glob("manifest-*")], "no manifest"),
    ("to be fetched", lambda bag: (bag / "fetch.txt").write_text("http://example.org/x 1 data/x\n"), "fetched"),
    ("nothing", lambda bag: shutil.rmtree(bag), "no such folder"),
)


@pytest.mark.parametrize(("what", "spoil", "words"), SPOILED, ids=[row[0] for row in SPOILED])
def test_a_spoiled_bag_is_refused(bag: Path, tmp_path: Path, what: str, spoil: Spoil, words: str) -> None:
    spoil(bag)
    with pytest.raises(NotABagError, match=words):
        import_bag(bag, tmp_path / "studio", NOW)
    assert not (tmp_path / "studio").exists()


ESCAPES = (
    "../../outside.txt",
    "/etc/hostname",
    "data/../../outside.txt",
    "~/x",
    "C:\\x",
    "data\\..\\x",
    "C:/x",
    "data",
)


@pytest.mark.parametrize("path", ESCAPES)
def test_a_path_out_of_the_bag_is_refused(bag: Path, tmp_path: Path, path: str) -> None:
    (tmp_path / "outside.txt").write_text("x")
    digest = hashlib.sha256(b"x").hexdigest()
    for name in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        spoiled = Path(shutil.copytree(bag, tmp_path / name))
        with (spoiled / name).open("a", encoding="utf-8") as file:
            file.write(f"{digest}  {path}\n")
        with pytest.raises(NotABagError, match="outside the bag"):
            validate(spoiled)


def test_links_are_refused(bag: Path, tmp_path: Path) -> None:
    (tmp_path / "outside").mkdir()
    for place, target in (("data/pictures/x.jpg", tmp_path / "bag" / "bagit.txt"), ("data/x", tmp_path / "outside")):
        (bag / place).symlink_to(target)
        with pytest.raises(NotABagError, match="is a link"):
            validate(bag)
        (bag / place).unlink()
    validate(bag)


def test_a_newer_one_is_refused(bag: Path, tmp_path: Path) -> None:
    edit(bag / "bag-info.txt", "Catalog-Schema: ", "Catalog-Schema: 9")
    resealed(bag)
    with pytest.raises(NewerBagError):
        import_bag(bag, tmp_path / "studio", NOW)


FORGED: tuple[tuple[str, str, str, type[Exception], str], ...] = (
    ("a row is changed", "data/tables/series.csv", "Salt Pans", NotProvedError, "without the journal"),
    ("the journal is changed", "data/tables/journal.csv", "Salt Pans", NotProvedError, "altered after it was sealed"),
)


@pytest.mark.parametrize(("what", "file", "words", "error", "told"), FORGED, ids=[row[0] for row in FORGED])
def test_what_was_forged_with_care_is_found(
    bag: Path, tmp_path: Path, what: str, file: str, words: str, error: type[Exception], told: str
) -> None:
    edit(bag / file, words, "Forged Pans")
    resealed(bag)
    assert bagit.Bag(str(bag)).validate()
    with pytest.raises(error, match=told):
        import_bag(bag, tmp_path / "studio", NOW)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["bag"]
    made = import_bag(bag, tmp_path / "studio", NOW, anyway=True)
    assert any("do not say the same" in one for one in made.findings)


BROKEN: tuple[tuple[str, Spoil], ...] = (
    ("a text where a number is", lambda bag: edit(bag / "data/tables/place.csv", "\n1,", "\nx,")),
    ("a row too short", lambda bag: edit(bag / "data/tables/series.csv", "1,Salt Pans,", "1")),
    ("a row too long", lambda bag: edit(bag / "data/tables/series.csv", "1,Salt Pans,", "1,Salt Pans,,")),
    ("a number in other signs", lambda bag: edit(bag / "data/tables/series.csv", "\n1,", "\n1_0,")),
    ("a number too large", lambda bag: edit(bag / "data/tables/series.csv", "\n1,", "\n9999999999999999999,")),
    ("another head", lambda bag: edit(bag / "data/tables/series.csv", "title", "name")),
    ("a key twice", lambda bag: edit(bag / "data/tables/series.csv", "2,", "1,")),
    ("a table missing", lambda bag: (bag / "data/tables/series.csv").unlink()),
    ("a table too many", lambda bag: (bag / "data/tables/more.csv").write_text("id\r\n")),
    (
        "bytes that are no text",
        lambda bag: (bag / "data/tables/series.csv").write_bytes(b"id,title,note\r\n1,\xff,\r\n"),
    ),
    ("a kind that is none", lambda bag: edit(bag / "data/tables/item.csv", "negative", "spaceship")),
)


@pytest.mark.parametrize(("what", "spoil"), BROKEN, ids=[row[0] for row in BROKEN])
def test_tables_that_make_no_catalog(bag: Path, tmp_path: Path, what: str, spoil: Spoil) -> None:
    spoil(bag)
    resealed(bag)
    with pytest.raises(NotRebuiltError) as refused:
        import_bag(bag, tmp_path / "studio", NOW, anyway=True)
    assert refused.value.sentence.endswith("Get another copy of it, or ask who made it.")
    assert not (tmp_path / "studio").exists()


def test_sql_in_a_bag_is_never_run(bag: Path, tmp_path: Path) -> None:
    (bag / "data" / "schema" / "schema.sql").write_text("DROP TABLE print;")
    (bag / "data" / "catalog.db").unlink()
    resealed(bag)
    assert import_bag(bag, tmp_path / "studio", NOW).rows > 1000


@pytest.mark.parametrize("algorithms", [["sha256"], ["sha512", "md5"], ["sha1"]])
def test_a_bag_made_elsewhere_is_valid_and_says_what_is_in_it(tmp_path: Path, algorithms: list[str]) -> None:
    folder = tmp_path / "list"
    (folder / "more").mkdir(parents=True)
    (folder / "plates 2019.csv").write_text("Title,Date\nLow water,1998\n")
    (folder / "more" / "prints.xlsx").write_bytes(b"x")
    (folder / "letter.txt").write_text("hello")
    bagit.make_bag(str(folder), {"Contact-Name": "An Archive"}, checksums=algorithms)
    assert validate(folder).info["Contact-Name"] == "An Archive"
    with pytest.raises(ForeignBagError) as told:
        import_bag(folder, tmp_path / "studio", NOW)
    assert f"tirage import negatives '{folder}/data/plates 2019.csv'" in told.value.sentence
    assert f"tirage import negatives {folder}/data/more/prints.xlsx" in told.value.sentence


def test_the_folder_must_be_new_or_empty(packed: Path, tmp_path: Path) -> None:
    (tmp_path / "studio").mkdir()
    import_bag(packed, tmp_path / "studio", NOW)
    with pytest.raises(FolderNotEmptyError):
        import_bag(packed, tmp_path / "studio", NOW)


def test_the_command(packed: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(["import", "bag", str(packed)]) == 2
    assert run(["import", "bag", str(packed), "--into", str(tmp_path / "studio")]) == 0
    told = capsys.readouterr()
    assert "every certificate hold" in told.out and "keys/" in told.err
    assert run(["import", "bag", str(tmp_path / "nothing"), "--into", str(tmp_path / "other")]) == 1
