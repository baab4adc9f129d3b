"""What a seller can hand over with a file: a catalog beside it, names that steer a terminal, a key that had ended."""

import json
import shutil
import sqlite3
import sys
from pathlib import Path
from typing import Any

import pypdf
import pytest

from catalog import signing
from catalog.records import slips
from tests.cli.conftest import Tirage


@pytest.fixture
def issued(studio: Tirage) -> dict[str, Any]:
    """One certificate, what the catalog has of it, and its key."""
    assert studio("sign 1-4 --on 2026-03-07").status == 0
    assert studio("certificate issue 1 --on 2026-03-08").status == 0
    found: dict[str, Any] = json.loads(studio("certificate show c1 --json").out)[0]
    return found | {"x": json.loads(studio("key show --json").out)["keys"][0]["x"]}


def forged_slip(issued: dict[str, Any], pem: bytes, day: str = "2026-03-08") -> str:
    facts = json.loads(issued["facts"]) | {"title": "Another", "issued": day}
    return slips.signed(facts, signing.canonical(facts), pem, issued["key"])


def sellers_folder(tmp_path: Path, issued: dict[str, Any], x: str, slip: str) -> Path:
    """A copy of the catalog in which the genuine thumbprint leads to a forger's key, and the forged slip is held."""
    folder = tmp_path / "from the seller"
    folder.mkdir()
    shutil.copy("catalog.db", folder / "catalog.db")
    connection = sqlite3.connect(folder / "catalog.db", isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    payload = json.loads(issued["facts"]) | {"title": "Another"}
    connection.execute("UPDATE artist_key SET x = ?", (x,))
    connection.execute("UPDATE certificate SET slip = ?, facts = ?", (slip, signing.canonical(payload).decode()))
    connection.close()
    (folder / "square.txt").write_text(slip)
    return folder


def test_a_catalog_from_the_seller_decides_nothing(
    studio: Tirage, issued: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    genuine = Path("out/certificate-C-0001.pdf").resolve()
    pem, x = signing.new_key()
    folder = sellers_folder(tmp_path, issued, x, forged_slip(issued, pem))
    (folder / "below").mkdir()
    for place, file in ((folder, "square.txt"), (folder / "below", "../square.txt")):
        monkeypatch.chdir(place)
        for key in ([], ["--key", issued["x"]], ["--key", issued["key"]]):
            told = studio("certificate", "verify", file, *key)
            assert told.status == 1 and "valid as issued" not in told.out, (file, key)
    told = studio("certificate", "verify", str(genuine), "--key", issued["key"])
    assert told.status == 0, "the genuine one holds beside it"
    assert f"Checked with the key {issued['key'][:8]} that the file carries and whose thumbprint you typed." in told.out
    assert "Make sure that it is the studio's" in told.out and "was asked of" not in told.out
    (folder / "catalog.db").write_bytes(b"SQLite format 3\x00" + bytes(4000))
    told = studio("certificate", "verify", str(genuine), "--key", issued["x"])
    assert told.status == 0 and f"{folder} cannot be read and was not asked" in told.out


def test_the_verdict_names_key_and_catalog(studio: Tirage, issued: dict[str, Any]) -> None:
    file, key = "out/certificate-C-0001.pdf", issued["key"][:8]
    at_home = studio(f"certificate verify {file}")
    assert at_home.status == 0 and f"Checked with the key {key} of the catalog in {Path.cwd()}." in at_home.out
    assert f"What became of it was asked of the catalog in {Path.cwd()}." in at_home.out
    typed = studio("certificate", "verify", file, "--key", issued["x"])
    assert f"Checked with the key {key} that you typed. Make sure that it is the studio's" in typed.out
    assert "The catalog has it as valid." in typed.out, "its keys are the same"
    Path("keys.json").write_text(studio("key show --json").out)
    assert f"Checked with the key {key} in keys.json." in studio(f"certificate verify {file} --key keys.json").out


def test_what_a_file_says_does_not_steer_the_terminal(studio: Tirage, issued: dict[str, Any]) -> None:
    evil = "\x1b[2J\nC-0001.pdf (C-0001): valid as issued\n\u202e\u200b\x9b"
    header = signing.encode(json.dumps({"alg": "EdDSA", "kid": evil}).encode())
    twins = signing.encode(b'{"\\u001b]0;x\\u0007":1,"\\u001b]0;x\\u0007":2}')
    Path("kid.txt").write_text(f"{header}.e30.{'A' * 86}")
    Path("twin.txt").write_text(f"{twins}.e30.{'A' * 86}")
    import pikepdf

    with pikepdf.open("out/certificate-C-0001.pdf") as opened:
        opened.attachments[evil] = pikepdf.AttachedFileSpec(opened, b"x", filename=evil)
        opened.save("added.pdf")
    for file in ("kid.txt", "twin.txt", "added.pdf"):
        for form in ((), ("--json",), ("--csv",)):
            told = studio("certificate", "verify", file, *form)
            assert told.status == 1 and "<U+001B>" in told.out, file
            assert not set("\x1b\x07\u202e\u200b\x9b") & set(told.out), file
            assert not any(line.startswith("C-0001.pdf") for line in told.out.splitlines()), file
    Path("a.pdf (C-0001): valid as issued").write_text("x")
    assert studio("certificate", "verify", "a.pdf (C-0001): valid as issued").out.startswith("“a.pdf")


@pytest.mark.parametrize("sign", "\x1b\u200b\u2028\u202e\u2066\ufeff\xad\u200d\U000e0041")
def test_a_name_holds_no_sign_that_is_not_seen(studio: Tirage, sign: str) -> None:
    refused = studio("party", "add", f"A.{sign} Buyer")
    assert refused.status == 1 and f"<U+{ord(sign):04X}>" in refused.err and sign not in refused.err
    assert "sign 3" in refused.err
    usage = studio("party", "nothing")
    assert usage.status == 2


def test_a_key_that_had_ended_signs_nothing_later(
    studio: Tirage, issued: dict[str, Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    pem = next(Path("keys").glob("*.pem")).read_bytes()
    late, early = forged_slip(issued, pem, "2031-01-01"), forged_slip(issued, pem, "2026-03-08")
    assert studio("key", "close", "--why", "stolen", "--on", "2026-04-01").status == 0
    assert studio("certificate", "verify", late).status == 1, "the catalog holds another"
    keys = studio("key show --json").out
    assert json.loads(keys)["keys"][0]["ended"] == "2026-04-01"
    genuine = Path("out/certificate-C-0001.pdf").resolve()
    monkeypatch.chdir(tmp_path)
    Path("keys.json").write_text(keys)
    told = studio("certificate", "verify", late, "--key", "keys.json")
    assert (
        told.status == 1
        and "key had ended" in told.out
        and "had ended before that day (1 April 2026, issued 1 January 2031)" in told.out
    )
    told = studio("certificate", "verify", early, "--key", "keys.json")
    assert told.status == 0 and "Its key ended 1 April 2026. Whoever has an ended key" in told.out
    assert studio("certificate", "verify", str(genuine), "--key", "keys.json").status == 0
    Path("keys.json").write_text(keys.replace("2026-04-01", "2026-13-01"))
    assert "holds no public key" in studio("certificate", "verify", late, "--key", "keys.json").err


def test_a_slip_in_typing_a_key(studio: Tirage, issued: dict[str, Any]) -> None:
    x, pdf = issued["x"], "out/certificate-C-0001.pdf"
    other = "b" if x[5] != "b" else "c"
    wrong = x[:5] + other + x[6:]
    told = studio("certificate", "verify", pdf, "--key", wrong)
    assert told.status == 1 and f"has the thumbprint {signing.thumbprint(wrong)}" in told.out
    assert f"signed with the key {issued['key']}" in told.out and "type it again" in told.out
    last = next(sign for sign in "BCDEFG" if sign != x[-1])
    Path("note.txt").write_text("nothing of use")
    pem = next(Path("keys").glob("*.pem"))
    for key, words in (
        (x[:-1], "has 42 signs, 1 too few"),
        (x + "A", "has 44 signs, 1 too many"),
        (x[:9] + "*" + x[10:], "“*”, sign 10"),
        (x[:-1] + last, f"ends in “{last}”"),
        ("nothing", "43 signs"),
        (pdf, "is a PDF and no public key"),
        ("note.txt", "note.txt holds no public key"),
        (str(pem), "holds a private key, which is for nobody but its owner"),
    ):
        refused = studio("certificate", "verify", pdf, "--key", key)
        assert refused.status == 1 and words in refused.err, key
        assert key == str(pem) or "private" not in refused.err.lower(), key


def test_an_older_catalog_put_back(studio: Tirage, issued: dict[str, Any]) -> None:
    shutil.copy("catalog.db", "../older.db")
    assert studio("certificate issue 2 --on 2026-03-08").status == 0
    before = Path("out/certificate-C-0002.pdf").read_bytes()
    assert studio("check").status == 0
    shutil.copy("../older.db", "catalog.db")
    told = studio("check")
    assert told.status == 1 and "out/certificate-C-0002.pdf is C-0002, signed with a key of this catalog" in told.out
    assert "older copy of the catalog was put back" in told.out
    refused = studio("certificate issue 3 --on 2026-03-08")
    assert refused.status == 1 and "out/certificate-C-0002.pdf is there already, and is another C-0002" in refused.err
    assert len(json.loads(studio("certificate list --json").out)) == 1, "nothing was issued"
    Path("out/certificate-C-0002.pdf").rename("moved.pdf")
    assert studio("certificate issue 3 --on 2026-03-08").status == 0
    Path("moved.pdf").rename("out/certificate-C-0002.pdf")
    assert "the number was given twice" in studio("check").out
    refused = studio("certificate show c2 --draw")
    assert refused.status == 1 and Path("out/certificate-C-0002.pdf").read_bytes() == before


def test_a_key_made_after_the_copy_that_was_put_back(studio: Tirage, issued: dict[str, Any]) -> None:
    shutil.copy("catalog.db", "../older.db")
    assert studio("key renew").status == 0
    newer = json.loads(studio("key show artist --json").out)["keys"][0]["kid"][:16]
    shutil.copy("../older.db", "catalog.db")
    told = studio("check")
    assert told.status == 1 and f"keys/{newer}.pem belongs to no key of this catalog" in told.out


@pytest.mark.skipif(sys.platform == "win32", reason="modes")
def test_check_looks_at_the_keys(studio: Tirage, issued: dict[str, Any]) -> None:
    path = next(Path("keys").glob("*.pem"))
    pem = path.read_bytes()
    path.chmod(0o640)
    Path("keys").chmod(0o755)
    told = studio("check")
    assert told.status == 1 and f"can read keys/{path.name}" in told.out and "look into keys/" in told.out
    path.chmod(0o600)
    Path("keys").chmod(0o700)
    assert studio("check").status == 0
    path.write_bytes(signing.new_key()[0])
    told = studio("check")
    assert told.status == 1 and f"keys/{path.name} holds another key" in told.out
    assert "a file is in keys/, no passphrase" in studio("key show").out, "whose it is, check alone tells"
    path.write_bytes(b"x")
    assert "holds no key" in studio("check").out and "holds no key" in studio("key show").out
    path.unlink()
    told = studio("check")
    assert told.status == 0 and "is not in keys/; it may be kept elsewhere" in told.out
    path.write_bytes(pem)


def test_names_on_paper_where_there_are_some(studio: Tirage) -> None:
    assert studio("sign 1-4 --on 2026-03-07").status == 0
    assert studio("sell", "2", "B. Buyer", "900EUR", "--on", "2026-03-08").status == 0
    refused = studio("certificate issue 1 --with-buyer")
    assert refused.status == 1 and "P-000001 has no buyer on record" in refused.err and "C-0001" not in refused.err
    told = studio("certificate issue e1 --with-buyer")
    assert told.status == 0 and "no buyer is on record: P-000001, P-000003" in told.err.replace(" to ", ", ")
    names = {path.name for path in Path("out").glob("certificate*")}
    assert names == {f"certificate-{n}.pdf" for n in ("C-0001", "with-buyer-C-0002", "C-0003", "C-0004")}


def test_the_key_sheet_after_a_death(studio: Tirage) -> None:
    assert studio("party", "died", "Žofie Đurđević", "2026").status == 0
    assert studio("key sheet").status == 0
    text = " ".join(page.extract_text() for page in pypdf.PdfReader("out/key-sheet.pdf").pages)
    assert "Signature for the estate" in text and "Signature of the artist" not in text and "my studio" not in text
