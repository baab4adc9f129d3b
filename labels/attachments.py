"""Files attached to a PDF: the signed statement travels inside the certificate that shows it."""

import zlib
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from labels.errors import PdfUnreadable
from labels.page_digests import page_digests
from labels.pdf_file import open_pdf, saved
from labels.streams import Unpacking
from labels.whole_file import blank, digest_without

if TYPE_CHECKING:
    import pikepdf

__all__ = ["Seal", "attach", "attachments", "in_two_ways", "page_digests"]

File = tuple[bytes, str, str]  # content, media type, relationship such as "/Data" or "/Source"
# The name of a file, and what makes it from the digest of the whole PDF without it: always as many bytes.
Seal = tuple[str, Callable[[str], bytes]]
MOST_FILES = 32
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
    finished PDF: see `digest_without`. Raises `PdfUnreadable`.
    """
    if seal is None:
        return _attached(pdf, files, (title, author, language), "")
    name, made = seal
    room = blank(len(made("0" * 64)))
    whole = _attached(pdf, {**files, name: (room, SEAL_TYPE, SEAL_RELATIONSHIP)}, (title, author, language), name)
    digest = digest_without(whole, room)
    content = made(digest)
    sealed = whole.replace(b"\nstream\n" + room, b"\nstream\n" + content, 1)
    if not digest or digest_without(sealed, content) != digest:
        raise PdfUnreadable("its seal finds no place of its own")
    return sealed


def _attached(pdf: bytes, files: Mapping[str, File], said: tuple[str, str, str], plain: str) -> bytes:
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
        if title:
            opened.docinfo[Name.Title] = title
        if author:
            opened.docinfo[Name.Author] = author
        if language:
            root.Lang = pikepdf.String(language)
        return saved(opened)


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
