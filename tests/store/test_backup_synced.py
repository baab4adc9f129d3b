"""Folders that a service keeps in step, and network drives: seen by general signs, and what is no sign."""

from pathlib import Path

import pytest

from catalog.store import synced

MOUNTS = """/dev/sda1 / ext4 rw 0 0
server:/home /home/me/server nfs4 rw 0 0
//server/share /media/share cifs rw 0 0
service /home/me/far fuse.service rw 0 0
/dev/sdb1 /media/me/USB\\040Drive fuse.exfat rw 0 0
tmpfs /tmp tmpfs rw 0 0
"""
# folder -> the kind of network file system
KINDS = {
    "/home/me/studio": "",
    "/home/me/server/studio": "nfs4",
    "/home/me/servers": "",
    "/media/share": "cifs",
    "/home/me/far/studio": "fuse.service",
    "/media/me/USB Drive/studio": "",
    "/srv/x": "",
}
# folders below home, with the hidden files in one of them -> the sign that is seen
SIGNS = {
    "studio": (".hidden", ""),
    "My Cloud/studio": ("", "My Cloud"),
    "SomeDrive/studio": ("", "SomeDrive"),
    "some drive/studio": ("", "some drive"),
    "sync-folder/studio": ("", "sync-folder"),
    "usbdrive/studio": ("", ""),
    "drivers/studio": ("", ""),
    "pictures/studio": (".syncing", ".syncing"),
    "work/studio/catalog": (".cloud-state", ".cloud-state"),
}


@pytest.mark.parametrize("folder", KINDS)
def test_network_drives(tmp_path: Path, folder: str) -> None:
    (tmp_path / "mounts").write_text(MOUNTS)
    assert synced.network_kind(Path(folder), tmp_path / "mounts") == KINDS[folder]
    assert synced.network_kind(Path(folder), tmp_path / "none") == ""


@pytest.mark.parametrize("folder", SIGNS)
def test_signs_of_a_service(tmp_path: Path, folder: str) -> None:
    hidden, seen = SIGNS[folder]
    catalog = tmp_path / "home" / folder
    catalog.mkdir(parents=True)
    (tmp_path / "home" / ".cloud-of-the-machine").touch()  # what lies in the home folder says nothing of those below
    if hidden:
        (catalog.parent if "/" in folder else catalog).joinpath(hidden).touch()
    assert synced.sign(catalog, tmp_path / "home", tmp_path / "none") == seen


def test_a_mounted_disk_is_no_service_by_its_name(tmp_path: Path) -> None:
    disk = tmp_path / "USB Drive" / "studio"
    disk.mkdir(parents=True)
    mounts = tmp_path / "mounts"
    mounts.write_text(f"/dev/sdb1 {str(tmp_path / 'USB Drive').replace(' ', chr(92) + '040')} vfat rw 0 0\n")
    assert synced.sign(disk, tmp_path / "home", mounts) == ""
