"""Files attached to a PDF: the signed statement travels inside the certificate that shows it."""

from collections.abc import Mapping

from labels.errors import PdfUnreadable
from labels.page_digests import page_digests
from labels.pdf_file import open_pdf, saved

__all__ = ["attach", "attachments", "page_digests"]


def attach(
    pdf: bytes, files: Mapping[str, tuple[bytes, str, str]], title: str = "", author: str = "", language: str = ""
) -> bytes:
    """`pdf` with `files` inside: name -> (content, media type, relationship such as "/Data" or "/Source").

    The files are associated with the document (ISO 32000-2, 14.13; asked for by ISO 19005-3), a name already there
    is replaced. `title`, `author` and `language` (a BCP 47 tag) are set where they are not empty. Nothing that shows
    is touched, and the same input always gives the same bytes. Raises `PdfUnreadable`.
    """
    import pikepdf
    from pikepdf import Name

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
            return {name: opened.attachments[name].get_file().read_bytes() for name in sorted(opened.attachments)}
        except (pikepdf.PdfError, ValueError, KeyError, AttributeError, TypeError):
            raise PdfUnreadable("an attached file is damaged") from None
