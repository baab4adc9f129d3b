"""A finished PDF file: opened with care, and saved so that the same content gives the same bytes."""

from io import BytesIO
from typing import TYPE_CHECKING

from labels.errors import PdfUnreadable

if TYPE_CHECKING:
    import pikepdf


def open_pdf(pdf: bytes) -> "pikepdf.Pdf":
    """`pdf` opened for reading. Raises `PdfUnreadable` for anything that is not a whole, unencrypted PDF."""
    import pikepdf

    try:
        # A file put together again by guessing may be another one than other programs put together.
        opened = pikepdf.open(BytesIO(pdf), suppress_warnings=True, attempt_recovery=False)
    except pikepdf.PasswordError:
        raise PdfUnreadable("it is encrypted") from None
    except (pikepdf.PdfError, ValueError, OverflowError, RuntimeError):
        raise PdfUnreadable("it is not a PDF, or is damaged") from None
    if opened.is_encrypted:
        opened.close()
        raise PdfUnreadable("it is encrypted")
    return opened


def saved(opened: "pikepdf.Pdf") -> bytes:
    """The bytes of an opened PDF: version 1.7, plain objects, streams as they are, an identity from the content."""
    import pikepdf

    out = BytesIO()
    opened.save(
        out,
        min_version="1.7",
        object_stream_mode=pikepdf.ObjectStreamMode.disable,
        compress_streams=False,
        stream_decode_level=pikepdf.StreamDecodeLevel.none,
        deterministic_id=True,
        linearize=False,
    )
    return out.getvalue()
