"""Backups as a person types them: made, forgotten, found by an heir, put back."""

import json
import os
import shutil
import sqlite3
from pathlib import Path

import pytest
from PIL import Image

from catalog.rules.checks import check

from .conftest import Tirage


@pytest.fixture
def studio(tirage: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Tirage:
    assert tirage("init", "studio", "--artist", "A. Example", "--born", "1971").status == 0
    monkeypatch.chdir(tmp_path / "studio")
    assert tirage("negative", "add", "Low water", "--state", "ready", "--made", "2026-03-02").status == 0
    assert tirage("edition declare n1 25 --on 2026-03-05").status == 0
    assert tirage("print make e1 3 --on 2026-03-06").status == 0
    return tirage


def test_the_place_is_named_once(studio: Tirage, tmp_path: Path) -> None:
    refused = studio("backup")
    assert refused.status == 1 and "tirage backup DIR" in refused.err
    made = studio("backup", "../kept")
    assert made.status == 0 and f"{tmp_path / 'kept'}/backup-" in made.out and "Read again and proved" in made.out
    assert "same disk" in made.err
    assert studio("backup").status == 0
    listed = json.loads(studio("backup --list --json").out)
    assert [one["commands behind"] for one in listed] == [0, 0]
    assert studio("print make e1 1").status == 0
    assert [one["commands behind"] for one in json.loads(studio("backup --list --json").out)] == [1, 1]
    checked = studio("backup --check")
    assert checked.status == 0 and checked.out.count("proved now") == 2
    assert studio("backup --keep 1").status == 0
    assert len(list((tmp_path / "kept").glob("backup-2*"))) == 1


def test_a_disk_that_is_not_plugged_in_is_not_made_up(studio: Tirage, tmp_path: Path) -> None:
    """Else the backup would go into an empty folder on the catalog's own disk."""
    assert studio("backup ../disk/kept").status == 0
    (tmp_path / "disk").rename(tmp_path / "unplugged")
    for words in ("backup", "backup ../disk/kept"):
        refused = studio(words)
        assert refused.status == 1 and "Plug that disk in" in refused.err
    assert not (tmp_path / "disk").exists()
    (tmp_path / "disk" / "kept").mkdir(parents=True)
    assert studio("backup").status == 1 and not list((tmp_path / "disk" / "kept").iterdir())
    assert studio("backup ../elsewhere").status == 0
    shutil.rmtree(tmp_path / "disk")
    (tmp_path / "unplugged").rename(tmp_path / "disk")
    assert studio("backup ../disk/kept").status == 0


def test_a_damaged_backup_is_told(studio: Tirage, tmp_path: Path) -> None:
    assert studio("backup ../kept").status == 0
    [made] = (tmp_path / "kept").glob("backup-2*")
    (made / "settings.toml").write_text("")
    found = studio("backup --check")
    assert found.status == 1 and "damaged" in found.out and "settings.toml is not what was kept" in found.err
    assert studio("backup", "--check", str(made)).status == 1
    assert studio("backup", "--list", str(tmp_path / "nowhere")).status == 1


def test_keys_are_in_it_only_under_a_passphrase(studio: Tirage, tmp_path: Path) -> None:
    bare = studio("backup ../kept")
    assert "STOP: the private key keys/" in bare.err and "NOT in this backup" in bare.err
    assert b"PRIVATE KEY" not in b"".join(
        path.read_bytes() for path in (tmp_path / "kept").rglob("*") if path.is_file()
    )
    (tmp_path / "secret").write_text("five or six words together\n")
    assert studio("backup --with-keys").status == 1  # nobody to ask
    locked = studio("backup --with-keys --passphrase-file ../secret")
    assert locked.status == 0 and "1 key under a passphrase" in locked.out and "NOT" not in locked.err
    held = next((tmp_path / "kept").rglob("*.pem"))
    assert b"ENCRYPTED" in held.read_bytes() and held.stat().st_mode & 0o777 == 0o600
    assert b"ENCRYPTED" not in next((tmp_path / "studio" / "keys").iterdir()).read_bytes()
    assert studio("key protect --passphrase-file ../secret").status == 0
    assert "1 key under a passphrase" in studio("backup").out


def test_an_heir_with_the_backup_folder_alone(studio: Tirage, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    Image.new("L", (80, 80)).save(tmp_path / "a.png")
    (tmp_path / "secret").write_text("five or six words together\n")
    assert studio("picture add n1 ../a.png").status == 0
    assert studio("key protect --passphrase-file ../secret").status == 0
    assert studio("backup ../kept").status == 0
    shutil.rmtree(tmp_path / "studio")
    (tmp_path / "home").mkdir()
    monkeypatch.chdir(tmp_path / "home")
    assert "tirage restore" in (tmp_path / "kept" / "backup-read-me.txt").read_text()
    assert "--into" in studio("restore", "../kept").err
    assert studio("restore").status == 1
    assert studio("backup", "../kept", "--check").status == 0
    back = studio("restore", "../kept", "--into", "studio")
    assert back.status == 0 and "The newest codes are" in back.err and "P-000003" in back.err
    assert "under the passphrase they had then" in back.out
    monkeypatch.chdir(tmp_path / "home" / "studio")
    assert studio("check").out == "Everything agrees.\n"
    assert studio("sign 1 --anyway testing").status == 0
    assert studio("certificate issue 1 --anyway testing --passphrase-file ../../secret").status == 0


def test_what_would_be_set_aside_is_told_and_confirmed(studio: Tirage, tmp_path: Path) -> None:
    assert studio("backup ../kept").status == 0
    assert studio("sign 1-2 --anyway testing").status == 0
    assert studio("certificate issue 1 --anyway testing").status == 0
    assert studio("print make e1 2").status == 0
    asked = studio("restore ../kept")
    assert asked.status == 1 and "3 commands that the backup has not: “sign”" in asked.err and "--anyway" in asked.err
    assert studio("print show 5").status == 0
    done = studio("restore", "../kept", "--anyway", "a slip")
    assert done.status == 0
    assert "void from now on: C-0001, P-000004, P-000005" in done.err
    assert "1/25 of E-0001 (P-000001); 2/25 of E-0001 (P-000002)" in done.err and "C-0001 of P-000001" in done.err
    assert "P-000006" in studio("print make e1 1").out
    assert "restored backup" in studio("print show 4").err
    found = studio("check")
    assert "was set aside when a backup was restored, with 3 commands not here" in found.out
    assert "out/certificate-C-0001.pdf" in found.out
    assert studio("undo").status == 0 and "set-aside" in studio("undo").err  # the print, and then the restore
    [aside] = (tmp_path / "studio").glob("set-aside-*")
    assert studio("--catalog", str(aside), "print", "show", "5").status == 0
    # and back again: what is ahead is told the other way round, and nothing is lost
    again = studio("restore", "../kept", "--anyway", "once more")
    assert again.status == 0 and len(list((tmp_path / "studio").glob("set-aside-*"))) == 2


def test_another_catalogs_backup_is_refused(studio: Tirage, tmp_path: Path) -> None:
    assert studio("init", "../other", "--artist", "B. Other").status == 0
    assert studio("--catalog", "../other", "backup", "../kept").status == 0
    assert "another one than the backup's, of B. Other" in studio("restore", "../kept", "--anyway", "x").err
    assert "another catalog are there" in studio("backup", "../kept").err
    assert studio("restore", "--finish").status == 1


def test_a_damaged_catalog_keeps_its_good_backups(studio: Tirage, tmp_path: Path) -> None:
    for _ in range(3):
        assert studio("backup ../kept").status == 0
    good = sorted((tmp_path / "kept").glob("backup-2*"))
    opened = sqlite3.connect("catalog.db")
    opened.execute("DROP TRIGGER journal_update_party")
    opened.execute("UPDATE party SET name = 'Somebody' WHERE id = 1")
    opened.commit()
    opened.close()
    bad = studio("backup --keep 1")
    assert bad.status == 1 and "STOP" in bad.err and "kept aside" in bad.err and "tirage restore" in bad.err
    assert [path in (tmp_path / "kept").iterdir() for path in good] == [True] * 3
    assert len(list((tmp_path / "kept").glob("*-doubtful"))) == 1
    os.truncate("catalog.db", 40_000)
    assert studio("backup --keep 1").status in (1, 2)
    assert all(path.exists() for path in good)
    assert studio("restore", "../kept", "--anyway", "damaged").status == 0
    assert "error" not in studio("check").out


def test_no_backup_for_long_is_told(studio: Tirage, tmp_path: Path) -> None:
    from datetime import datetime, timedelta

    later = datetime.now().astimezone() + timedelta(days=31)

    def told() -> str:
        opened = sqlite3.connect("catalog.db", isolation_level=None)
        opened.row_factory = sqlite3.Row
        try:
            return " ".join(one.sentence for one in check(opened, Path(), later))
        finally:
            opened.close()

    assert "4 commands, the first of " in told() and "are in no backup: none is known here" in told()
    assert studio("backup ../kept").status == 0
    assert "in no backup" not in told()
    assert studio("print make e1 1").status == 0
    assert "is in no backup: the last one known here is of" in told()
    assert studio("settings", "backup-after-days", "40", "--basis", "my own").status == 0
    assert "in no backup" not in told()
    assert studio("settings", "backup-after-days", "a month", "--basis", "my own").status == 1
    Path("backups.json").write_text("[" * 100_000)  # what nobody can read says nothing
    assert "in no backup" in studio("backup").err or studio("backup").status == 1


# the copy's name, what both did after it was made -> what check says of it, and its exit status
COPIES = {
    "a conflict, parted": ("catalog (conflict 2026-11-25).db", "both", "parted after 4 commands", 1),
    "a suffix behind": ("catalog.db.conflict-1", "both", "parted after 4 commands", 1),
    "ahead": ("catalog-2.db", "theirs", "1 of its commands is missing here: “party add”", 1),
    "behind": ("catalog (old).db", "ours", "an older copy, 1 command behind", 0),
    "the same": ("a copy", "none", "a copy just like this catalog", 0),
    "below": ("kept/of-may/catalog.db", "ours", "an older copy, 1 command behind", 0),
    "before a migration": ("catalog-schema-3.db", "ours", "Everything agrees", 0),
}


@pytest.mark.parametrize("what", COPIES)
def test_copies_that_lie_about_are_found(studio: Tirage, tmp_path: Path, what: str) -> None:
    name, did, said, status = COPIES[what]
    (tmp_path / "other").mkdir()
    shutil.copy("catalog.db", tmp_path / "other" / "catalog.db")
    if did in ("both", "theirs"):
        assert studio("--catalog", "../other", "party", "add", "C. There").status == 0
    if did in ("both", "ours"):
        assert studio("print make e1 1").status == 0
    Path(name).parent.mkdir(parents=True, exist_ok=True)
    shutil.copy(tmp_path / "other" / "catalog.db", name)
    found = studio("check")
    assert said in found.out and found.status == status
    if did == "both":
        assert "Only there: “party add”" in found.out and "Only here: “print make”" in found.out


def test_second_states_of_other_files_are_found(studio: Tirage, tmp_path: Path) -> None:
    Image.new("L", (80, 80)).save(tmp_path / "a.png")
    assert studio("picture add n1 ../a.png").status == 0
    [key] = Path("keys").iterdir()
    for source, name in (
        ("settings.toml", "settings (conflict).toml"),
        ("pictures/N-0001-1.png", "pictures/N-0001-1 (conflict).png"),
        ("pictures/N-0001-1.png", "pictures/N-0001-10.png"),
        (str(key), f"keys/{key.stem}.conflict.pem"),
    ):
        shutil.copy(source, name)
    out = studio("check").out
    for said in ("settings (conflict).toml", "N-0001-1 (conflict).png", f"{key.stem}.conflict.pem looks"):
        assert said in out
    assert "N-0001-10" not in out


def test_a_folder_that_a_service_keeps_is_told_at_the_beginning(tirage: Tirage, tmp_path: Path) -> None:
    begun = tirage("init", "My Cloud/studio", "--artist", "A. Example")
    assert begun.status == 0 and "My Cloud" in begun.err and "two at once" in begun.err
    found = tirage("--catalog", "My Cloud/studio", "check")
    assert found.status == 0 and "two histories" in found.out
    assert tirage("--catalog", "My Cloud/studio", "party", "add", "C. Other").err == ""
