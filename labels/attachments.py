"""Files attached to a PDF: the signed statement travels inside the certificate that shows it."""

import codecs
import zlib
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from labels.errors import PdfAmbiguous, PdfUnreadable
from labels.page_digests import page_digests
from labels.pdf_file import open_pdf, saved
from labels.streams import Unpacking
from labels.whole_file import blank, digest_without, refuse_ambiguous

if TYPE_CHECKING:
    import pikepdf

__all__ = ["Seal", "attach", "attachments", "in_two_ways", "page_digests"]

File = tuple[bytes, str, str]  # content, media type, relationship such as "/Data" or "/Source"
# The name of a file, and what makes it from the digest of the whole PDF without it: always as many bytes.
Seal = tuple[str, Callable[[str], bytes]]
MOST_FILES = 32
# How streams are packed, in turn: as they are, else each anew. What is packed can hold, by chance, the very bytes that
# mark the end of an object or of a file; packed otherwise it does not.
LEVELS = (0, 9, 8, 7, 6, 5, 4, 3, 2, 1)
TEXTS = ("/Title", "/Author", "/Subject", "/Keywords", "/Creator", "/Producer")
SEAL_TYPE, SEAL_RELATIONSHIP = "application/jose", "/Supplement"


def attach(
    pdf: bytes,
    files: Mapping[str, File],
    title: str = "",
    author: str = "",
    language: str = "",
    seal: Seal | None = None,
) -> bytes:
    """`pdf` with `files` inside, by name.

    The files are associated with the document (ISO 32000-2, 14.13; asked for by ISO 19005-3), a name already there
    is replaced. `title`, `author` and `language` (a BCP 47 tag) are set where they are not empty. Nothing that shows
    is touched, and the same input always gives the same bytes. `seal` is one more file, over every other byte of the
    finished PDF: see `digest_without`; what is sealed is in the plain form of `refuse_ambiguous`. Raises
    `PdfUnreadable`.
    """
    said = (title, author, language)
    if seal is None:
        return _attached(pdf, files, said, "")
    problem: PdfAmbiguous | None = None
    for level in LEVELS:
        sealed = _sealed(pdf, files, said, seal, level)
        try:
            refuse_ambiguous(sealed)
        except PdfAmbiguous as found:
            problem = problem or found
        else:
            return sealed
    assert problem is not None
    raise problem


def _sealed(pdf: bytes, files: Mapping[str, File], said: tuple[str, str, str], seal: Seal, level: int) -> bytes:
    name, made = seal
    room = blank(len(made("0" * 64)))
    whole = _attached(pdf, {**files, name: (room, SEAL_TYPE, SEAL_RELATIONSHIP)}, said, name, level)
    digest = digest_without(whole, room)
    content = made(digest)
    sealed = whole.replace(b"\nstream\n" + room, b"\nstream\n" + content, 1)
    if not digest or digest_without(sealed, content) != digest:
        raise PdfUnreadable("its seal finds no place of its own")
    return sealed


def _attached(pdf: bytes, files: Mapping[str, File], said: tuple[str, str, str], plain: str, level: int = 0) -> bytes:
    import pikepdf
    from pikepdf import Name

    title, author, language = said
    with open_pdf(pdf) as opened:
        root = opened.Root
        for name in sorted(files):
            content, media_type, relationship = files[name]
            opened.attachments[name] = pikepdf.AttachedFileSpec(
                opened,
                content,
                filename=name,
                mime_type=media_type,
                relationship=Name("/" + relationship.lstrip("/")),
            )
            stream = opened.attachments[name].get_file().obj
            if name == plain:
                stream.write(content)
                del stream.Params.CheckSum  # of what stands there for now
            else:
                stream.write(zlib.compress(content, 9), filter=Name.FlateDecode)
        if files:
            # Names in order, whatever was there before, each once.
            root.AF = opened.make_indirect(
                pikepdf.Array([opened.attachments[name].obj for name in sorted(opened.attachments)])
            )
        _say(opened, title, author)
        if language:
            root.Lang = pikepdf.String(language)
        if level:
            _pack_anew(opened, level)
        return saved(opened)


def _say(opened: "pikepdf.Pdf", title: str, author: str) -> None:
    """Write what is said of the document as two bytes a sign (ISO 32000-1, 7.9.2.2).

    No name or title in them is then taken for a word of the file's own, such as one that ends it.
    """
    import pikepdf

    texts = {key: str(value) for key, value in opened.docinfo.items() if key in TEXTS}
    texts |= {key: text for key, text in (("/Title", title), ("/Author", author)) if text}
    for key, text in texts.items():
        opened.docinfo[key] = pikepdf.String(codecs.BOM_UTF16_BE + text.encode("utf-16-be"))


def _pack_anew(opened: "pikepdf.Pdf", level: int) -> None:
    """Pack every packed stream at another level; what it holds stays."""
    import pikepdf
    from pikepdf import Name

    for one in opened.objects:
        if isinstance(one, pikepdf.Stream) and one.get("/Filter") == Name.FlateDecode and "/DecodeParms" not in one:
            one.write(zlib.compress(one.read_bytes(), level), filter=Name.FlateDecode)


def attachments(pdf: bytes) -> dict[str, bytes]:
    """The files inside `pdf` by name, in order of their names. Raises `PdfUnreadable`."""
    import pikepdf

    with open_pdf(pdf) as opened:
        try:
            names = sorted(opened.attachments)
            if len(names) > MOST_FILES:
                shown = ", ".join(name[:40] for name in names[:3])
                raise PdfUnreadable(f"it holds {len(names)} files, {shown} and more, where a few are expected")
            unpacking = Unpacking()
            return {name: unpacking.content(opened.attachments[name].get_file().obj)[0] for name in names}
        except (pikepdf.PdfError, ValueError, KeyError, AttributeError, TypeError):
            raise PdfUnreadable("an attached file is damaged") from None


def in_two_ways(pdf: bytes) -> list[str]:
    """The names of attached files that another program may show under another name or with another content."""
    import pikepdf

    with open_pdf(pdf) as opened:
        try:
            specifications = {name: opened.attachments[name].obj for name in sorted(opened.attachments)}
            found = [name for name, spec in specifications.items() if not _in_one_way(name, spec)]
            associated = [spec.objgen for spec in opened.Root.get("/AF", [])]
            twice = len(set(associated)) != len(associated)
            other = [name for name, spec in specifications.items() if spec.objgen not in associated]
            return (
                found
                or other
                or (["(one that is not listed)"] if twice or len(associated) != len(specifications) else [])
            )
        except (pikepdf.PdfError, ValueError, KeyError, AttributeError, TypeError):
            raise PdfUnreadable("an attached file is damaged") from None


def _in_one_way(name: str, spec: "pikepdf.Object") -> bool:
    names = [str(spec[key]) for key in ("/F", "/UF") if key in spec]
    streams: list[Any] = [stream.objgen for _, stream in spec.EF.items()]
    known = all(key in ("/Type", "/F", "/UF", "/EF", "/AFRelationship", "/Desc") for key, _ in spec.items())
    return known and bool(names) and set(names) == {name} and len(set(streams)) == 1 and streams[0] != (0, 0)
