"""The one way this program writes and reads files: whole or not at all, also after a power cut, and never for ever.

What is written grows in a hidden file beside its place, is seen on the disk, and takes the name in one step. What is
read is a plain file: no pipe that never begins, no device without an end and, but where a person names it, no link.
"""

import errno
import hashlib
import os
import re
import shutil
import stat
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from io import BufferedReader, BufferedWriter, FileIO
from pathlib import Path, PurePosixPath
from typing import BinaryIO, NamedTuple

GROWING, PART = ".tirage-", ".part"  # begin and end the name of what is not whole yet
ABANDONED = 3600  # seconds without a change after which a growing file is what a crash left
PATIENCE = 3.0  # seconds that a pipe is waited for
PRIVATE = 0o600  # a document may name owners and prices: it is for its owner to pass on
PIECE = 1 << 20  # bytes read at a time: a scanned plate may be larger than the memory
FOLDER = re.compile(re.escape(GROWING) + "[0-9a-f]{16}" + re.escape(PART))
# What a file system answers that cannot do a thing at all, as against a disk that failed at it.
CANNOT = {errno.EINVAL, errno.ENOTSUP, errno.EPERM, errno.EACCES, errno.ENOSYS, errno.EXDEV, errno.EMLINK}
BINARY, HERE = getattr(os, "O_BINARY", 0), getattr(os, "O_NOFOLLOW", 0)


class NotAFileError(OSError):
    """A link, a folder, a pipe or a device where a plain file should be, or a path that leads elsewhere."""

    def __init__(self, path: str | os.PathLike[str]) -> None:
        super().__init__(errno.EINVAL, "it is a link or no plain file", str(path))


class Content(NamedTuple):
    """What a file holds: SHA-256 (hexadecimal) and how many bytes."""

    sha256: str
    size: int


def write_whole(path: Path, content: bytes, mode: int = PRIVATE, *, over: bool = True) -> None:
    """Write a file; raises as `growing`."""
    with growing(path, mode, over=over) as file:
        file.write(content)


@contextmanager
def growing(path: Path, mode: int = PRIVATE, *, over: bool = True) -> Iterator[BinaryIO]:
    """A file to write into, which takes its name when the block ends well.

    With `over` it takes the place of an earlier file of that name, else it raises FileExistsError. Raises OSError, and
    then leaves nothing new; only where the disk failed in the very last moment may the new file stand there, whole.
    """
    beside = path.with_name(f"{GROWING}{os.urandom(8).hex()}{PART}")
    try:
        with BufferedWriter(new_file(beside)) as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(mode)
        _sweep(beside)
        if over:
            beside.replace(path)
        else:
            _name_new(beside, path)
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
    settle(path.parent)


@contextmanager
def growing_folder(path: Path) -> Iterator[Path]:
    """A hidden folder to fill, which becomes the new folder `path`, or takes the place of an empty one, at the end.

    Raises OSError, and then leaves nothing.
    """
    path.parent.mkdir(parents=True, exist_ok=True)
    work = path.with_name(f"{GROWING}{os.urandom(8).hex()}{PART}")
    work.mkdir(mode=0o700)
    _sweep_folders(work)
    try:
        with only_one(work):  # so that nobody sweeps it
            yield work
        if hasattr(os, "sync"):
            os.sync()  # many files at once
        if path.is_dir():
            path.rmdir()
        work.rename(path)
        settle(path.parent)
    finally:
        shutil.rmtree(work, ignore_errors=True)


def new_file(path: Path) -> FileIO:
    """A new and empty file, for its owner alone, open to be written. Raises FileExistsError, OSError."""
    return FileIO(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | HERE | BINARY, PRIVATE), "wb")


def open_plain(path: str | os.PathLike[str], *, follow: bool = False) -> BufferedReader:
    """A plain file to be read; with `follow` also one behind a link. Raises OSError, NotAFileError."""
    flags = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | BINARY | (0 if follow else HERE)
    try:
        descriptor = os.open(path, flags)
    except OSError as problem:
        raise NotAFileError(path) if not follow and Path(path).is_symlink() else problem from None
    if not stat.S_ISREG(os.fstat(descriptor).st_mode):
        os.close(descriptor)
        raise NotAFileError(path)
    return os.fdopen(descriptor, "rb")


def read_plain(path: str | os.PathLike[str], most: int, *, follow: bool = True, pipes: bool = False) -> bytes:
    """All of a file, at most `most` bytes; one that a person named may lie behind a link.

    Raises OSError, also for a longer file, and NotAFileError. With `pipes` a pipe is read (as a shell makes one of a
    command's output), and waited for at most PATIENCE seconds.
    """
    if pipes and stat.S_ISFIFO(os.stat(path).st_mode):
        return _from_pipe(path, most)
    with open_plain(path, follow=follow) as file:
        read = b"".join(iter(lambda: file.read(PIECE) if file.tell() <= most else b"", b""))
    if len(read) > most:
        raise OSError(errno.EFBIG, f"it is larger than {most:,} bytes", str(path))
    return read


def content(path: Path) -> Content:
    """What a file holds, from the disk and not from memory where the system allows. Raises OSError, NotAFileError."""
    with open_plain(path) as source:
        if hasattr(os, "posix_fadvise"):
            os.posix_fadvise(source.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        return copy_into(source, None)


def copy(source: BinaryIO, target: Path) -> Content:
    """Copy an open file to a new name, for its owner alone and down to the disk; what was read. Raises OSError."""
    with new_file(target) as writing:
        found = copy_into(source, writing)
        os.fsync(writing.fileno())
    return found


def copy_into(source: BinaryIO, target: BinaryIO | FileIO | None) -> Content:
    """Copy all that is left of an open file into another, or only read it; what was read. Raises OSError."""
    running, size = hashlib.sha256(), 0
    while piece := source.read(PIECE):
        running.update(piece)
        size += len(piece)
        rest = memoryview(piece)
        while target is not None and rest:
            rest = rest[target.write(rest) :]
    return Content(running.hexdigest(), size)


def within(base: Path, relative: str) -> Path:
    """A path below a folder, reached through no link below it and no “..”. Raises NotAFileError."""
    parts = PurePosixPath(relative).parts
    path, steers = base, "/\0:\\" if os.name == "nt" else "/\0"
    if not parts or any(part == ".." or any(sign in part for sign in steers) for part in parts):
        raise NotAFileError(base / "..")
    for part in parts:
        path = path / part
        if path.is_symlink():
            raise NotAFileError(path)
    return path


def files_below(folder: Path) -> Iterator[str]:
    """Every seen file below a folder by its path from there, links to files included, links to folders not entered."""
    for here, folders, names in os.walk(folder):
        folders[:] = sorted(name for name in folders if not name.startswith("."))
        for name in sorted(names):
            if not name.startswith("."):
                yield (Path(here) / name).relative_to(folder).as_posix()


def settle(path: Path) -> None:
    """See a file, which may be read-only, or the names in a folder down to the disk, where the system can."""
    folder = path.is_dir()
    if os.name != "posix":
        if not folder:
            with path.open("rb+") as file:
                os.fsync(file.fileno())
        return
    try:
        descriptor = os.open(path, os.O_RDONLY)
    except PermissionError:  # what may be written and not read
        return
    try:
        os.fsync(descriptor)
    except OSError as problem:
        if not folder or problem.errno not in CANNOT:
            raise
    finally:
        os.close(descriptor)


@contextmanager
def only_one(folder: Path) -> Iterator[bool]:
    """Whether nobody else works in a folder so; true as well where the system or the disk cannot tell."""
    try:
        import fcntl

        descriptor = os.open(folder, os.O_RDONLY)
    except (ImportError, OSError):
        yield True
        return
    try:
        try:
            fcntl.flock(descriptor, fcntl.LOCK_EX | fcntl.LOCK_NB)
            alone = True
        except BlockingIOError:
            alone = False
        except OSError:  # a disk without locks
            alone = True
        yield alone
    finally:
        os.close(descriptor)


def _from_pipe(path: str | os.PathLike[str], most: int) -> bytes:
    import select

    descriptor, read = os.open(path, os.O_RDONLY | getattr(os, "O_NONBLOCK", 0)), b""
    try:
        while len(read) <= most:
            ready, _, _ = select.select([descriptor], [], [], PATIENCE)
            piece = os.read(descriptor, 1 << 16) if ready else b""
            if not piece:
                break
            read += piece
    finally:
        os.close(descriptor)
    return read[:most]


def _name_new(beside: Path, path: Path) -> None:
    """Give a file its name where nothing has it. Raises FileExistsError."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise
    except OSError as problem:
        if problem.errno not in CANNOT:
            raise
        if path.exists():
            raise FileExistsError(errno.EEXIST, "File exists", str(path)) from None
        beside.replace(path)  # a file system without links: nobody else writes there in this moment


def _sweep_folders(newest: Path) -> None:
    """Take away the folders that what was killed left, which may hold a whole catalog; never one that still grows."""
    now = newest.stat().st_mtime
    for left in newest.parent.glob(f"{GROWING}*{PART}"):
        if FOLDER.fullmatch(left.name) and left.is_dir() and not left.is_symlink():
            with suppress(OSError), only_one(left) as alone:  # another one swept it
                if alone and now - left.stat().st_mtime > ABANDONED:
                    shutil.rmtree(left, ignore_errors=True)


def _sweep(newest: Path) -> None:
    """Take away what earlier crashes left beside a file, by the clock of the file system alone."""
    now = newest.stat().st_mtime
    for left in newest.parent.glob(f"{GROWING}*{PART}"):
        with suppress(OSError):  # another one swept it
            if now - left.stat().st_mtime > ABANDONED:
                left.unlink()
