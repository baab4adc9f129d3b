"""Digests of what a PDF shows, so that an altered page is found out however its file was saved.

Covered are decoded contents and never their storage: compression, object numbers and order of keys may change.
Attached files, metadata and the document's language and information dictionary are not part of what is shown.
"""

import hashlib
from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from labels.errors import PdfUnreadable
from labels.pdf_file import open_pdf
from labels.streams import Unpacking

if TYPE_CHECKING:
    import pikepdf

# What may differ without anything looking different.
_UNSEEN_IN_ROOT = {"/Type", "/AF", "/Metadata", "/Pages", "/Names", "/Lang", "/Version", "/Extensions", "/PieceInfo"}
_UNSEEN_IN_PAGE = {"/Type", "/Parent", "/Contents", "/Resources", "/Metadata", "/PieceInfo", "/LastModified", "/AF"}
_INHERITED = ("/MediaBox", "/CropBox", "/Rotate", "/Resources")
_STORAGE = {"/Length", "/Filter", "/DecodeParms", "/DL"}
_DEEPEST_PAGE = 50
_MOST_OBJECTS = 500_000
_DEEPEST = 600


def page_digests(pdf: bytes) -> dict[str, str]:
    """SHA-256 hex digests over everything that shows in `pdf`.

    Keys: "page 1" to "page n" (decoded contents, boxes, rotation, annotations, resources other than fonts and
    pictures), "fonts" (programs, widths, encodings, text maps, and the name each page calls them by), "pictures"
    (images and forms likewise) and "document" (number of pages, forms, layers, actions, names, and whatever else
    the catalog holds that could change the showing). Raises `PdfUnreadable`.
    """
    import pikepdf

    with open_pdf(pdf) as opened:
        try:
            return _digests(opened)
        except PdfUnreadable:
            raise
        except (pikepdf.PdfError, ValueError, KeyError, AttributeError, TypeError, RecursionError, RuntimeError):
            raise PdfUnreadable("its objects are damaged") from None


def _digests(opened: "pikepdf.Pdf") -> dict[str, str]:
    pages = [page.obj for page in opened.pages]
    walk = _Walk(pages)
    digests: dict[str, str] = {}
    fonts: list[bytes] = []
    pictures: list[bytes] = []
    for number, page in enumerate(pages, start=1):
        whole = {key: _inherited(page, key) for key in _INHERITED}
        resources = whole.pop("/Resources")
        kept = {str(key): page[key] for key in page.keys() if key not in _UNSEEN_IN_PAGE}  # noqa: SIM118
        kept |= {key: value for key, value in whole.items() if value is not None}
        parts = [_hash(b"contents", _contents(page, walk.unpacking))]
        parts.append(_mapping(walk, kept.items()))
        named = dict(resources.items()) if resources is not None else {}
        # Content names its fonts and pictures; which name stands for which is part of what they show.
        fonts.append(_mapping(walk, _entries(named.pop("/Font", None))))
        pictures.append(_mapping(walk, _entries(named.pop("/XObject", None))))
        named.pop("/ProcSet", None)
        parts.append(_mapping(walk, named.items()))
        digests[f"page {number}"] = _hash(b"page", *parts).hex()
    digests["fonts"] = _hash(b"fonts", *fonts).hex()
    digests["pictures"] = _hash(b"pictures", *pictures).hex()
    digests["document"] = _document(walk, opened, len(pages)).hex()
    return digests


def _document(walk: "_Walk", opened: "pikepdf.Pdf", count: int) -> bytes:
    root = opened.Root
    kept = {str(key): root[key] for key in root.keys() if key not in _UNSEEN_IN_ROOT}  # noqa: SIM118
    names = {key: value for key, value in _entries(root.get("/Names")) if key != "/EmbeddedFiles"}
    return _hash(b"document", str(count).encode(), _mapping(walk, kept.items()), _mapping(walk, names.items()))


def _entries(dictionary: Any) -> Iterator[tuple[str, Any]]:
    if dictionary is not None:
        yield from dictionary.items()


def _inherited(page: Any, key: str) -> Any:
    """A page's own attribute or the one it inherits (ISO 32000-1, 7.7.3.4)."""
    node, steps = page, 0
    while node is not None:
        if key in node:
            return node[key]
        node, steps = node.get("/Parent"), steps + 1
        if steps > _DEEPEST_PAGE:
            raise PdfUnreadable("its pages are nested too deeply")
    return None


def _contents(page: Any, unpacking: Unpacking) -> bytes:
    import pikepdf

    contents = page.get("/Contents")
    if contents is None:
        return b""
    streams = [contents] if isinstance(contents, pikepdf.Stream) else list(contents)
    # Several streams are read as one with white space between (ISO 32000-1, 7.8.2).
    return b"\n".join(unpacking.content(stream)[0] for stream in streams)


def _hash(kind: bytes, *parts: bytes) -> bytes:
    """One digest over parts whose borders cannot be moved: each is preceded by its length."""
    digest = hashlib.sha256(kind + b"\0")
    for part in parts:
        digest.update(len(part).to_bytes(8, "big"))
        digest.update(part)
    return digest.digest()


def _mapping(walk: "_Walk", entries: Iterable[tuple[str, Any]]) -> bytes:
    parts: list[bytes] = []
    for key, value in sorted(entries, key=lambda entry: entry[0]):
        if value is None:
            continue  # an entry that is null is an entry that is not there (ISO 32000-1, 7.3.7)
        parts += [key.encode("utf-8", "surrogateescape"), walk.digest(value)]
    return _hash(b"dictionary", *parts)


class _Walk:
    """Digests of objects from their leaves up, so that sharing and numbering leave no trace.

    A page met anywhere is its number. An object met inside itself is the number of steps back to it; one that holds
    such a step out of itself is worked out again from wherever it is reached, all others once.
    """

    def __init__(self, pages: list[Any]) -> None:
        self.pages = {page.objgen: number for number, page in enumerate(pages, start=1)}
        self.known: dict[tuple[int, int], bytes] = {}
        self.path: list[tuple[int, int]] = []
        self.visited = 0
        self.unpacking = Unpacking()
        # The shallowest object of the path that something below the one in hand leads back to.
        self.shallowest = _DEEPEST * 2

    def digest(self, value: Any) -> bytes:
        import pikepdf

        if not isinstance(value, pikepdf.Object):
            return _hash(b"scalar", _scalar(value))
        if not value.is_indirect:
            return self._direct(value)
        identity = value.objgen
        if identity in self.pages:
            return _hash(b"page number", str(self.pages[identity]).encode())
        if identity in self.known:
            return self.known[identity]
        if identity in self.path:
            depth = self.path.index(identity)
            self.shallowest = min(self.shallowest, depth)
            return _hash(b"back", str(len(self.path) - depth).encode())
        return self._indirect(value, identity)

    def _indirect(self, value: Any, identity: tuple[int, int]) -> bytes:
        outer, self.shallowest = self.shallowest, _DEEPEST * 2
        depth = len(self.path)
        if depth > _DEEPEST:
            raise PdfUnreadable("its objects are nested too deeply")
        self.path.append(identity)
        result = self._direct(value)
        self.path.pop()
        if self.shallowest >= depth:
            self.known[identity] = result
        self.shallowest = min(outer, self.shallowest) if self.shallowest < depth else outer
        return result

    def _direct(self, value: Any) -> bytes:
        import pikepdf

        self.visited += 1
        if self.visited > _MOST_OBJECTS:
            raise PdfUnreadable("its objects are too many or too entangled")
        if isinstance(value, pikepdf.Stream):
            data, left = self._decoded(value)
            kept = {str(key): value[key] for key in value.keys() if key not in _STORAGE}  # noqa: SIM118
            return _hash(b"stream", _mapping(self, kept.items()), data, left)
        if isinstance(value, pikepdf.Dictionary):
            return _mapping(self, value.items())
        if isinstance(value, pikepdf.Array):
            return _hash(b"array", *(self.digest(item) for item in value))
        if isinstance(value, pikepdf.Name):
            return _hash(b"name", str(value).encode("utf-8", "surrogateescape"))
        if isinstance(value, pikepdf.String):
            return _hash(b"string", bytes(value))
        return _hash(b"scalar", _scalar(value))

    def _decoded(self, stream: Any) -> tuple[bytes, bytes]:
        """A stream's content, and the filter that could not be undone without changing a picture."""
        import pikepdf

        data, left = self.unpacking.content(stream)
        if not left:
            return data, b""
        parameters = stream.get("/DecodeParms")
        if isinstance(parameters, pikepdf.Array):
            parameters = parameters[len(parameters) - 1] if len(parameters) else None
        kept = b"" if parameters is None else self.digest(parameters)
        return data, _hash(b"filters", left[0].encode(), kept)


def _scalar(value: Any) -> bytes:
    from decimal import Decimal

    # 1 and 1.0 and 1.00 are one number, and a library may write any of them.
    if isinstance(value, int | Decimal) and not isinstance(value, bool):
        return format(Decimal(value).normalize(), "f").encode()
    return repr(value).encode()
