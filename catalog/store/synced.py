"""Whether a folder is on a network drive or looks synced by a service: by general signs, which can be wrong both ways.

Seen are: the kind of file system (network and user-space ones, from /proc/mounts, so on Linux alone); a folder above,
or a hidden file in one, whose name says cloud, sync or drive. Looked at is only what lies below the home folder and the
mounted disk. A service whose folder has a name of its own is not seen.
"""

import os
import re
from pathlib import Path

NETWORK = ("nfs", "cifs", "smb", "9p", "afs", "ceph", "davfs", "fuse.", "glusterfs")
LOCAL = frozenset({"fuse.ntfs", "fuse.exfat", "fuse.ntfs-3g", "fuse.lxcfs", "fuse.fuse-overlayfs"})
CAMEL = re.compile(r"cloud|sync|\bdrive\b|(?<=[a-z])Drive\b", re.ASCII)
MOUNTS = Path("/proc/mounts")


def network_kind(folder: Path, mounts: Path = MOUNTS) -> str:
    """The kind of network file system a folder is on, "" for a local one or where that cannot be told."""
    kind = _mounted(folder, mounts)[1]
    return kind if kind.startswith(NETWORK) and kind not in LOCAL else ""


def sign(folder: Path, home: Path | None = None, mounts: Path = MOUNTS) -> str:
    """The name that says that a service keeps a folder in step with others, "" where none does."""
    here = folder.resolve()
    ends = {Path(_mounted(here, mounts)[0] or "/"), (home or Path.home()).resolve(), Path(here.anchor)}
    for one in (here, *here.parents):
        if one in ends:
            return ""
        if _says(one.name):
            return one.name
        try:
            with os.scandir(one) as entries:
                hidden = sorted(entry.name for entry in entries if entry.name.startswith("."))
        except OSError:
            continue
        found = next(filter(_says, hidden), "")
        if found:
            return found
    return ""


def sentences(folder: Path) -> list[str]:
    """What to mind of the folder a catalog is in."""
    kind = network_kind(folder)
    if kind:
        return [
            f"the catalog is on a network drive or one that a service brings ({kind}); locks may fail there, and two "
            f"people at once may harm it. A local disk is safer."
        ]
    found = sign(folder)
    if found:
        return [
            f"by its name, “{found}” is kept in step by a service. Let it finish before you work at another machine, "
            f"and never work at two at once: the service cannot bring two histories together; see: tirage check."
        ]
    return []


def _says(name: str) -> bool:
    plain = re.sub(r"[_\-. ]+", " ", name)
    return bool(CAMEL.search(plain) or CAMEL.search(plain.lower()))


def _mounted(folder: Path, mounts: Path) -> tuple[str, str]:
    try:
        lines = [line.split() for line in mounts.read_text(encoding="utf-8", errors="replace").splitlines()]
    except OSError:
        return "", ""
    here = str(folder.resolve())
    best = ("", "")
    for line in lines:
        if len(line) < 3:
            continue
        at = line[1].replace("\\040", " ")
        if (here == at or here.startswith(at.rstrip("/") + "/")) and len(at) >= len(best[0]):
            best = (at, line[2])
    return best
