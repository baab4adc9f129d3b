"""Packing a bag: files written once, digested on their way, and the manifests over them (RFC 8493, 2.1.3 and 2.2)."""

import hashlib
import io
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO, TextIO

from catalog.exchange.bag.layout import ALGORITHMS, DATA, DECLARATION, encoded
from catalog.whole_files import new_file

CHUNK = 1 << 20


class _Digested(io.RawIOBase):
    """A file that is digested as it is written."""

    def __init__(self, path: Path) -> None:
        self._file = new_file(path)
        self.digests = [hashlib.new(name) for name in ALGORITHMS]
        self.size = 0

    def writable(self) -> bool:
        return True

    def write(self, data: object) -> int:
        view = memoryview(data)  # type: ignore[arg-type]
        for digest in self.digests:
            digest.update(view)
        done = 0
        while done < len(view):
            done += self._file.write(view[done:])
        self.size += done
        return done

    def close(self) -> None:
        if not self.closed:
            super().close()
            self._file.close()


class Packing:
    """A bag that is being packed in `folder`, which is new; its payload is given file by file, then it is sealed."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._digests: dict[str, tuple[str, ...]] = {}
        self._bytes = self._files = 0
        (folder / DATA).mkdir()

    @property
    def oxum(self) -> str:
        """Bytes and files of the payload, “123.4” (RFC 8493, 2.2.2)."""
        return f"{self._bytes}.{self._files}"

    @contextmanager
    def text(self, name: str) -> Iterator[TextIO]:
        """A payload file to write text into, UTF-8, line ends as written."""
        with self._opened(f"{DATA}/{name}") as raw:
            buffered = io.BufferedWriter(raw, CHUNK)
            with io.TextIOWrapper(buffered, encoding="utf-8", newline="") as file:
                yield file

    def add_text(self, name: str, text: str) -> None:
        """A small payload file."""
        with self.text(name) as file:
            file.write(text)

    def add_file(self, name: str, source: BinaryIO) -> None:
        """A copy of an open file, read once."""
        with self._opened(f"{DATA}/{name}") as raw:
            shutil.copyfileobj(source, raw, CHUNK)

    def adopt(self, name: str) -> None:
        """A payload file that something else wrote into the bag."""
        path = self.folder / DATA / name
        path.chmod(0o600)
        with path.open("rb") as given:
            digests = [hashlib.new(algorithm) for algorithm in ALGORITHMS]
            while chunk := given.read(CHUNK):
                for digest in digests:
                    digest.update(chunk)
        self._count(f"{DATA}/{name}", [digest.hexdigest() for digest in digests], path.stat().st_size)

    def seal(self, info: Mapping[str, str]) -> None:
        """Write the declaration, the bag's description and the manifests over all of it."""
        payload = dict(self._digests)
        for place, algorithm in enumerate(ALGORITHMS):
            self._tag(f"manifest-{algorithm}.txt", _manifest(payload, place))
        self._tag("bagit.txt", DECLARATION)
        self._tag("bag-info.txt", "".join(f"{label}: {value}\n" for label, value in info.items()))
        tags = {name: digests for name, digests in self._digests.items() if name not in payload}
        for place, algorithm in enumerate(ALGORITHMS):
            self._tag(f"tagmanifest-{algorithm}.txt", _manifest(tags, place))

    def _tag(self, name: str, text: str) -> None:
        with self._opened(name) as raw:
            raw.write(text.encode())

    @contextmanager
    def _opened(self, name: str) -> Iterator[_Digested]:
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        raw = _Digested(path)
        try:
            yield raw
        finally:
            raw.close()
        self._count(name, [digest.hexdigest() for digest in raw.digests], raw.size)

    def _count(self, name: str, digests: list[str], size: int) -> None:
        self._digests[name] = tuple(digests)
        if name.startswith(f"{DATA}/"):
            self._bytes, self._files = self._bytes + size, self._files + 1


def _manifest(digests: Mapping[str, tuple[str, ...]], place: int) -> str:
    return "".join(f"{found[place]}  {encoded(name)}\n" for name, found in sorted(digests.items()))
