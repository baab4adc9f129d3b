"""Keys and certificates as a person types them, passphrases at a terminal included."""

import json
import os
import re
import select
import subprocess
import sys
import time
from pathlib import Path

import pytest

from tests.cli.conftest import Tirage

PASSPHRASE = "five salt pans at low water"
DIED = ("party", "died", "Žofie Đurđević")


@pytest.fixture
def signed(studio: Tirage) -> Tirage:
    assert studio("sign 1-4 --on 2026-03-07").status == 0
    return studio


def private_files() -> list[Path]:
    return sorted(Path("keys").glob("*"))


def passphrase_file(name: str = "pass.txt", text: str = PASSPHRASE) -> str:
    Path(name).write_text(text + "\n", encoding="utf-8")
    return name


def test_keys_are_shown_as_a_set_that_verifies(signed: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    assert signed("certificate issue 1").status == 0
    keys = signed("key show --json").out
    found = json.loads(keys)["keys"]
    assert [key["holder"] for key in found] == ["artist"] and {"kty", "crv", "x", "kid"} <= found[0].keys()
    assert "private" not in keys.lower()
    file = Path("out/certificate-C-0001.pdf").resolve()
    slip = json.loads(signed("certificate show c1 --json").out)[0]["slip"]
    monkeypatch.chdir(tmp_path)
    Path("keys.json").write_text(keys, encoding="utf-8")
    for key in ("keys.json", found[0]["x"], " ".join(re.findall("..?.?.?", found[0]["kid"]))):
        told = signed("certificate", "verify", str(file), "--key", key)
        assert told.status == 0 and "Valid as issued; later changes are not visible here." in told.out, key
    address = f"https://example.org/C#{slip}"
    assert signed("certificate", "verify", address, "--key", f"{found[0]['x'][:20]}\n{found[0]['x'][20:]}").status == 0
    assert signed("certificate", "verify", slip, "--key", "keys.json").status == 0
    bare = signed("certificate", "verify", slip, "--key", found[0]["kid"])
    assert bare.status == 1 and "give the public key itself" in bare.out
    refused = signed("certificate", "verify", slip, "--key", "nothing")
    assert refused.status == 1 and "43 signs" in refused.err


def test_standard_input(signed: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    import io

    assert signed("certificate issue 1").status == 0
    for data, status in ((Path("out/certificate-C-0001.pdf").read_bytes(), 0), (b"nothing", 1)):
        monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data)))
        told = signed("certificate verify -")
        assert told.status == status and told.out.startswith("standard input")


def test_renewing_closing_and_the_sheet(signed: Tirage) -> None:
    assert signed("certificate issue 1 --on 2026-03-08").status == 0
    assert "signed for it" in signed("key renew").out
    assert signed("key renew --lost").status == 1, "a reason is needed"
    assert signed("certificate issue 2 --on 2026-03-08").status == 0
    assert signed("key renew --estate").status == 0
    assert signed("key close").status == 1, "a reason is needed"
    closed = signed("key", "close", "--why", "the artist is ill")
    assert closed.status == 0 and "ended" in closed.out
    alive = signed("certificate issue 3")
    assert alive.status == 1 and "tirage key renew." in alive.err, "the estate signs nothing while the artist lives"
    assert signed(*DIED, "2026-05").status == 0
    assert signed("certificate issue 3").status == 0, "by the estate's key"
    assert "the estate" in json.loads(json.loads(signed("certificate show c3 --json").out)[0]["facts"])["issued_by"]
    assert signed("key close estate --why x").status == 0
    stopped = signed("certificate issue 4")
    assert stopped.status == 1 and "tirage key renew" in stopped.err
    for number in (1, 2, 3):
        assert signed(f"certificate verify out/certificate-C-000{number}.pdf").status == 0
    assert signed("key sheet").status == 0 and Path("out/key-sheet.pdf").read_bytes().startswith(b"%PDF")
    assert len(json.loads(signed("key show --json").out)["keys"]) == 3
    assert signed("undo").status == 1, "the end of a key is final"


def test_a_key_does_not_end_before_it_last_signed(signed: Tirage) -> None:
    assert signed("certificate issue 1").status == 0
    refused = signed("key", "close", "--why", "x", "--on", "2026-03-07")
    assert refused.status == 1 and "C-0001 was signed with this key after 7 March 2026" in refused.err
    assert signed("certificate", "revoke", "c1", "--why", "x").status == 0
    assert signed("key", "close", "--why", "x", "--on", "2026-03-07").status == 0


def test_the_death_of_the_artist(signed: Tirage) -> None:
    assert signed("certificate issue 1 --on 2026-03-08").status == 0
    told = signed(*DIED, "2026-05-24")
    assert told.status == 0 and "died 24 May 2026." in told.out and "key renew --estate" in told.out
    refused = signed("key", "renew", "--why", "a new one")
    assert refused.status == 1 and "key renew --estate" in refused.err
    stopped = signed("certificate issue 2")
    assert stopped.status == 1 and "tirage key renew --estate" in stopped.err and "died" in stopped.err
    made = signed("key renew --estate")
    assert made.status == 0 and "No other key signed for it" in made.out
    assert signed("certificate issue 2").status == 0
    assert signed("certificate verify out/certificate-C-0002.pdf").status == 0
    before = signed("certificate issue 3 --on 2026-05-01")
    assert before.status == 0, "in the artist's days, with the artist's key"


def test_a_slip_in_the_date_of_a_death(signed: Tirage) -> None:
    early = signed(*DIED, "2026-03-01")
    assert early.status == 1 and "P-000001 was signed by the artist" in early.err and "correct P-000001" in early.err
    assert signed(*DIED, "2125").status == 1, "to come"
    assert signed(*DIED, "1960").status == 1, "before the birth"
    assert signed(*DIED, "2026-05", "--why", "slip").status == 1, "nothing to correct yet"
    assert signed(*DIED, "2026-05-02").status == 0 and signed("undo").status == 0
    assert signed(*DIED, "2026-05").status == 0
    again = signed(*DIED, "2026-05-03")
    assert again.status == 1 and "recorded already (May 2026)" in again.err and "--why REASON" in again.err
    mended = signed(*DIED, "2026-05-03", "--why", "as the register has it")
    assert mended.status == 0 and "died 3 May 2026, not May 2026." in mended.out
    assert signed(*DIED, "2026-05-03", "--why", "twice").status == 1
    assert signed("key renew --estate").status == 0 and signed("certificate issue 1").status == 0
    late = signed(*DIED, "2026-05-04", "--why", "another register")
    assert late.status == 1 and "C-0001 of the estate rests on that date" in late.err
    assert signed("check").status == 0


def test_a_death_is_not_before_a_certificate_by_the_artists_key(signed: Tirage) -> None:
    assert signed("certificate issue 1 --on 2026-09-01").status == 0
    early = signed(*DIED, "2026-08")
    assert early.status == 1 and "C-0001 was issued with the artist's key 1 September 2026" in early.err
    assert signed("certificate", "revoke", "c1", "--why", "slip").status == 0
    assert signed(*DIED, "2026-08").status == 0


def test_a_key_that_ended_says_what_helps(signed: Tirage) -> None:
    assert signed("key", "close", "--why", "stolen", "--on", "2026-04-01").status == 0
    assert signed(*DIED, "2026-05-20").status == 0
    ended = signed("certificate issue 1 --on 2026-05-19")
    assert ended.status == 1 and "ended 1 April 2026 (stolen)" in ended.err and "key renew --estate" in ended.err


def test_a_renewal_that_fails_leaves_nothing(signed: Tirage) -> None:
    before = private_files()
    before[0].rename("elsewhere.pem")
    refused = signed("key renew")
    assert refused.status == 1 and "key renew --lost --why REASON" in refused.err and private_files() == []
    assert signed("key", "renew", "--lost", "--why", "the disk failed").status == 0
    assert "the disk failed" in signed("key show").out and len(private_files()) == 1


def test_passphrase_by_file(signed: Tirage, monkeypatch: pytest.MonkeyPatch) -> None:
    name = passphrase_file()
    assert signed("key", "protect", "--passphrase-file", name).status == 0
    assert b"ENCRYPTED" in private_files()[0].read_bytes() and "under a passphrase" in signed("key show").out
    refused = signed("certificate issue 1")
    assert refused.status == 1 and "TIRAGE_PASSPHRASE_FILE" in refused.err and not list(Path("out").glob("cert*"))
    assert signed("certificate", "issue", "1", "--passphrase-file", name).status == 0
    wrong = signed("certificate", "issue", "2", "--passphrase-file", passphrase_file("wrong.txt", "another one, wrong"))
    assert wrong.status == 1 and "does not open" in wrong.err
    assert json.loads(signed("certificate list --json").out)[-1]["code"] == "C-0001", "nothing was issued"
    monkeypatch.setenv("TIRAGE_PASSPHRASE_FILE", name)
    assert signed("certificate issue 2").status == 0
    assert signed("sell", "3", "B. Buyer", "900EUR", "--certificate").status == 0
    assert signed("certificate show c1-2 --draw").status == 0
    assert signed("certificate verify out/certificate-C-0001.pdf").status == 0
    monkeypatch.delenv("TIRAGE_PASSPHRASE_FILE")
    assert signed("key", "protect", "--remove", "--old-passphrase-file", name).status == 0
    assert signed("certificate issue 4").status == 0
    assert signed("key", "protect", "--passphrase-file", passphrase_file("short.txt", "short")).status == 1


def test_a_catalog_begun_under_a_passphrase(tirage: Tirage) -> None:
    answer = tirage("init", "c", "--artist", "A. Maker", "--passphrase-file", passphrase_file())
    assert answer.status == 0 and "Keep its passphrase apart" in answer.out
    assert b"ENCRYPTED" in next(Path("c/keys").glob("*.pem")).read_bytes()
    assert tirage("init", "d", "--artist", "A. Maker", "--passphrase").status == 1, "nobody to ask"
    assert not Path("d").exists()


@pytest.mark.skipif(sys.platform == "win32", reason="no pseudo terminal")
def test_passphrase_at_a_terminal(signed: Tirage) -> None:
    told = at_terminal(["key", "protect"], [("New passphrase", PASSPHRASE), ("The same again", PASSPHRASE)])
    assert "under this passphrase from now on" in told and PASSPHRASE not in told
    told = at_terminal(["certificate", "issue", "1-3"], [("Passphrase of keys/", PASSPHRASE)])
    assert told.count("Passphrase of") == 1 and "C-0003 issued" in told, "asked once a command"
    told = at_terminal(["certificate", "issue", "4"], [("Passphrase of keys/", "not this one")])
    assert "does not open" in told and "C-0004" not in told


def at_terminal(words: list[str], answers: list[tuple[str, str]]) -> str:
    """What a command prints when a person answers its questions at a terminal."""
    import pty

    main, other = pty.openpty()
    command = [sys.executable, "-c", f"import sys; from catalog.cli.main import run; sys.exit(run({words!r}))"]
    environment = {**os.environ, "TERM": "dumb", "PYTHONPATH": os.pathsep.join(filter(None, sys.path))}
    process = subprocess.Popen(
        command, stdin=other, stdout=other, stderr=other, close_fds=True, start_new_session=True, env=environment
    )
    os.close(other)
    told, deadline = "", time.monotonic() + 60
    while time.monotonic() < deadline:
        if select.select([main], [], [], 0.1)[0]:
            try:
                part = os.read(main, 4096).decode("utf-8", "replace")
            except OSError:
                part = ""
            if not part:
                break
            told += part
        elif process.poll() is not None:
            break
        if answers and answers[0][0] in told.rpartition("\n")[2] and told.rstrip().endswith((":", "]")):
            time.sleep(0.1)  # until the terminal no longer shows what is typed
            os.write(main, (answers.pop(0)[1] + "\n").encode())
            told += "\n"
    process.wait(20)
    os.close(main)
    assert not answers, told
    return told


def test_a_whole_edition_at_once(signed: Tirage) -> None:
    assert signed("certificate issue 2").status == 0
    answer = signed("certificate issue e1 --with-buyer")
    assert answer.status == 1 and "P-000001, P-000003, P-000004 have no buyer on record" in answer.err.replace(
        " to ", ", "
    )
    answer = signed("certificate issue e1")
    assert answer.status == 0 and answer.err == "", "no bar in a pipe"
    assert [line.split()[3].rstrip(",") for line in answer.out.splitlines()[:3]] == [
        "P-000001,"[:-1],
        "P-000003",
        "P-000004",
    ]
    none = signed("certificate issue e1")
    assert none.status == 1 and "without a valid certificate" in none.err
    assert signed("certificate", "revoke", "c1", "--why", "a slip").status == 0
    assert "P-000002" in signed("certificate issue e1").out


def test_the_buyer_is_printed_only_when_asked(signed: Tirage) -> None:
    import pypdf

    assert signed("sell", "1", "Bettina Käufer", "900EUR", "--certificate").status == 0
    assert signed("certificate show c1 --draw --with-buyer").status == 0
    plain, named = (
        pypdf.PdfReader(f"out/certificate-{name}C-0001.pdf").pages[0].extract_text() for name in ("", "with-buyer-")
    )
    assert "Käufer" in named and "Käufer" not in plain
    assert "Käufer" not in json.loads(signed("certificate show c1 --json").out)[0]["facts"]
    for name in ("", "with-buyer-"):
        assert signed(f"certificate verify out/certificate-{name}C-0001.pdf").status == 0


def test_no_certificate_is_issued_whose_page_no_key_could_sign(signed: Tirage) -> None:
    """A page is signed on the day it is drawn: after the death by the estate, whatever the day of issue."""
    assert signed("certificate issue 1 --on 2026-03-08").status == 0
    assert signed(*DIED, "2026-05~").status == 0
    refused = signed("certificate issue 2 --on 2026-03-08")
    assert refused.status == 1 and "Nothing was issued: " in refused.err and "tirage key renew --estate" in refused.err
    assert "c. May 2026" in refused.err and "2026-05~" not in refused.err
    assert signed("sell", "2", "Ada", "900EUR", "--certificate", "--on", "2026-03-08").status == 1
    assert [row["code"] for row in json.loads(signed("certificate list --json").out)] == ["C-0001"]
    Path("out/certificate-C-0001.pdf").unlink()
    again = signed("certificate show c1 --draw")
    assert again.status == 0 and "no signature of its own" in again.err and "2026-05~" not in again.err
    assert signed("key renew --estate").status == 0
    assert signed("certificate issue 2 --on 2026-03-08").status == 0
    assert signed("certificate verify out/certificate-C-0002.pdf").status == 0


@pytest.mark.parametrize("change", ["gone", "another's"])
def test_after_the_death_the_estates_own_key_must_be_there(signed: Tirage, change: str) -> None:
    assert signed(*DIED, "2026-05").status == 0 and signed("key renew --estate").status == 0
    estate = next(row for row in json.loads(signed("key show --json").out)["keys"] if row["holder"] == "estate")["kid"]
    file = Path("keys") / f"{estate[:16]}.pem"
    other = next(path for path in private_files() if path != file).read_bytes()
    file.unlink()
    if change == "another's":
        file.write_bytes(other)
    refused = signed("certificate issue 1 --on 2026-03-08")
    assert refused.status == 1 and file.name in refused.err
    assert json.loads(signed("certificate list --json").out) == [] and not list(Path("out").glob("certificate*"))
