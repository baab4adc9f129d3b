"""Is a folder a whole and unaltered bag? RFC 8493, 3: complete, and every digest as it was."""

import hashlib
import os
import re
import stat
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path, PurePosixPath

from catalog.exchange.bag.errors import NotABagError
from catalog.exchange.bag.layout import DATA, decoded
from catalog.exchange.bag.packing import CHUNK

MANIFEST = re.compile(r"(tag)?manifest-([a-z0-9]+)\.txt")
LINE = re.compile(r"([0-9A-Fa-f]+)[ \t]+\*?(.+)")
LINE_END = re.compile(r"\r\n|\n|\r")
LARGEST_TAG = 512 << 20  # bytes; a manifest of two million files is smaller
# The digests that RFC 8493, 2.4, names. The two old ones hold against chance, not against somebody who alters.
KNOWN = ("md5", "sha1", "sha224", "sha256", "sha384", "sha512")
Progress = Callable[[int, int], None]


@dataclass(frozen=True)
class ValidBag:
    """A bag that was looked through: its description, and the files of its payload, paths from the bag on."""

    folder: Path
    info: dict[str, str]
    payload: tuple[str, ...]


def validate(folder: Path, progress: Progress = lambda done, total: None) -> ValidBag:
    """Look through a bag, every byte of it; `progress(bytes done, all)`. Raises NotABagError."""
    try:
        return _validate(folder, progress)
    except OSError as error:
        raise NotABagError(folder, f"it cannot be read ({error.strerror or error})") from error


def _validate(folder: Path, progress: Progress) -> ValidBag:
    if not folder.is_dir():
        raise NotABagError(folder, "there is no such folder")
    if not (folder / "bagit.txt").is_file():
        raise NotABagError(folder, "it has no bagit.txt")
    files = _files(folder)
    declared = _tags(folder, "bagit.txt")
    if declared.get("BagIt-Version") not in ("0.97", "1.0"):
        raise NotABagError(folder, f"it is of BagIt version “{declared.get('BagIt-Version', '')}”, expected 1.0")
    if "fetch.txt" in files:
        raise NotABagError(folder, "parts of it are to be fetched from elsewhere (fetch.txt), and nothing is fetched")
    manifests = {name: match for name in files if (match := MANIFEST.fullmatch(name))}
    if not any(match[1] is None for match in manifests.values()):
        raise NotABagError(folder, "it has no manifest")
    digests = _expected(folder, manifests)
    payload = tuple(sorted(name for name in files if name.startswith(f"{DATA}/")))
    _complete(folder, manifests, digests, set(payload), set(files))
    _unaltered(folder, digests, files, progress)
    info = _tags(folder, "bag-info.txt") if "bag-info.txt" in files else {}
    _counted(folder, info, payload, files)
    return ValidBag(folder, info, payload)


def _files(folder: Path) -> dict[str, int]:
    """Path -> size of every file of a bag; a link or a device in it is refused."""
    found = {}
    for place, folders, names in os.walk(folder, onerror=_raise):
        for name in (*folders, *names):
            path = Path(place) / name
            mode = path.lstat().st_mode
            inside = path.relative_to(folder).as_posix()
            if not stat.S_ISDIR(mode) and not stat.S_ISREG(mode):
                raise NotABagError(folder, f"{inside} is a link or no file at all")
            if stat.S_ISREG(mode):
                found[inside] = path.lstat().st_size
    return found


def _raise(error: OSError) -> None:
    raise error


def _expected(folder: Path, manifests: dict[str, re.Match[str]]) -> dict[str, dict[str, str]]:
    """Path -> algorithm -> digest, out of all manifests."""
    found: dict[str, dict[str, str]] = {}
    for name, match in manifests.items():
        if match[2] not in KNOWN:
            raise NotABagError(folder, f"{name} is of a digest that is not known here")
        for line in LINE_END.split(_text(folder, name)):
            if not line.strip():
                continue
            entry = LINE.fullmatch(line)
            if entry is None:
                raise NotABagError(folder, f"{name} holds a line that is none of a manifest: “{line[:80]}”")
            path = decoded(entry[2].removeprefix("./"))
            if not _is_inside(path, tags=match[1] is not None):
                raise NotABagError(folder, f"{name} names “{entry[2][:80]}”, which is outside the bag")
            if match[2] in found.setdefault(path, {}):
                raise NotABagError(folder, f"{name} names “{entry[2][:80]}” twice")
            found[path][match[2]] = entry[1].lower()
    return found


def _is_inside(path: str, *, tags: bool) -> bool:
    parts = PurePosixPath(path).parts
    if not parts or path.startswith(("/", "~")) or "\\" in path or ":" in parts[0] or ".." in parts or "\0" in path:
        return False
    return (parts[0] != DATA) if tags else (parts[0] == DATA and len(parts) > 1)


def _complete(
    folder: Path, manifests: dict[str, re.Match[str]], digests: dict[str, dict[str, str]], payload: set[str],
    files: set[str],
) -> None:  # fmt: skip
    missing = sorted(set(digests) - files)
    if missing:
        raise NotABagError(folder, f"{missing[0]} is missing" + _more(missing))
    for name, match in manifests.items():
        if match[1] is None:  # RFC 8493, 3: every payload file stands in every payload manifest
            unlisted = sorted(one for one in payload if match[2] not in digests.get(one, {}))
            if unlisted:
                raise NotABagError(folder, f"{unlisted[0]} is not in {name}" + _more(unlisted))


def _more(names: list[str]) -> str:
    return f" (and {len(names) - 1} more)" if len(names) > 1 else ""


def _unaltered(folder: Path, digests: dict[str, dict[str, str]], files: dict[str, int], progress: Progress) -> None:
    done, total = 0, sum(files[name] for name in digests)
    for name, expected in sorted(digests.items()):
        running = {algorithm: hashlib.new(algorithm) for algorithm in expected}
        with (folder / name).open("rb") as file:
            while chunk := file.read(CHUNK):
                for digest in running.values():
                    digest.update(chunk)
                done += len(chunk)
                progress(done, total)
        if any(running[algorithm].hexdigest() != value for algorithm, value in expected.items()):
            raise NotABagError(folder, f"{name} is not as it was packed")


def _counted(folder: Path, info: dict[str, str], payload: tuple[str, ...], files: dict[str, int]) -> None:
    oxum = info.get("Payload-Oxum")
    if oxum and oxum != f"{sum(files[name] for name in payload)}.{len(payload)}":
        raise NotABagError(folder, f"its payload is not of the size it says ({oxum})")


def _tags(folder: Path, name: str) -> dict[str, str]:
    """Label -> value of a tag file; of a label that stands there twice, the first. Lines that go on are joined."""
    found: dict[str, str] = {}
    label = ""
    for line in LINE_END.split(_text(folder, name)):
        if line[:1] in (" ", "\t") and label:
            found[label] += f" {line.strip()}"
        elif ":" in line:
            label, _, value = line.partition(":")
            label = label.strip()
            found.setdefault(label, value.strip())
    return found


def _text(folder: Path, name: str) -> str:
    path = folder / name
    if path.stat().st_size > LARGEST_TAG:
        raise NotABagError(folder, f"{name} is too large to be read")
    try:
        return path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise NotABagError(folder, f"{name} is no text in UTF-8") from error
