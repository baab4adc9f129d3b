"""The square read off a picture, and the statement found in what a square or a person gives."""

from io import BytesIO
from typing import Any

from catalog import signing
from catalog.errors import TirageError

# First bytes of the pictures that scanners and telephones make: PNG, JPEG, TIFF (both orders), WebP.
MAGIC = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*")
LARGEST_SIDE = 4200  # pixels: A4 at 360 dpi, more shows no more of a square
SHARPEST = 9000  # pixels a side that are opened at all


class ScanNotPossibleError(TirageError):
    """A picture, where what reads a square is not installed."""

    def __init__(self) -> None:
        super().__init__(
            "To read the square off a picture a part is needed that is not installed: pip install 'tirage[scan]'. "
            "Or scan it with a telephone and give what it reads as text."
        )


def is_picture(data: bytes) -> bool:
    """Whether bytes begin as a picture does."""
    return data.startswith(MAGIC) or (data[:4] == b"RIFF" and data[8:12] == b"WEBP")


def statement_of(data: bytes) -> str:
    """The statement in text: a JWS, or an address with one after its #; blanks and line ends do not count.

    Raises UnreadableError.
    """
    try:
        text = "".join(data.decode("utf-8-sig").split())
    except UnicodeDecodeError:
        raise signing.UnreadableError("it is neither a PDF nor a picture nor text") from None
    if "#" in text:
        return text.rpartition("#")[2]
    if text[:8].lower().startswith(("http://", "https://")):
        raise signing.UnreadableError(
            f"the address {text[:80]} holds no statement after a #. It is that of an older certificate: open it, or "
            f"give the certificate's PDF"
        )
    return text


def statement_in(data: bytes) -> str:
    """The statement of the square in a picture. Raises ScanNotPossibleError, UnreadableError."""
    found = squares(data)
    if not found:
        raise signing.UnreadableError(
            "no square was found in the picture: give one that is sharp, without shadow, with the square and the white "
            "around it at least 600 pixels wide"
        )
    return statement_of(next((text for text in found if "#" in text), found[0]).encode())


def squares(data: bytes) -> list[str]:
    """The texts of all squares in a picture. Raises ScanNotPossibleError, UnreadableError."""
    try:
        import zxingcpp
        from PIL import Image
    except ImportError:
        raise ScanNotPossibleError from None
    reader: Any = zxingcpp  # its types differ between versions
    try:
        picture = Image.open(BytesIO(data))
        if max(picture.size) > SHARPEST:
            raise signing.UnreadableError(f"the picture is larger than {SHARPEST} pixels; make it smaller")
        picture.load()
        grey = _flattened(picture)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError):
        raise signing.UnreadableError("the picture is damaged or of a kind that is not known here") from None
    for tried in _tries(grey):
        texts = [code.text for code in reader.read_barcodes(tried, formats=reader.BarcodeFormat.QRCode)]
        if texts:
            return texts
    return []


def _flattened(picture: Any) -> Any:
    """A picture in greys on white, no larger than is of use."""
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        whole = picture.convert("RGBA")
        picture = Image.alpha_composite(Image.new("RGBA", whole.size, "white"), whole)
    grey = picture.convert("L")
    grey.thumbnail((LARGEST_SIDE, LARGEST_SIDE))
    return grey


def _tries(grey: Any) -> Any:
    """The picture as it is, then as a tired reader would look at it: contrast, sharper, larger, smaller."""
    from PIL import Image, ImageFilter, ImageOps

    yield grey
    even = ImageOps.autocontrast(grey, cutoff=1)
    yield even
    yield even.filter(ImageFilter.UnsharpMask(3, 200, 2))
    width, height = grey.size
    if max(grey.size) <= LARGEST_SIDE // 2:
        larger = even.resize((width * 2, height * 2), Image.Resampling.BICUBIC)
        yield larger
        yield larger.filter(ImageFilter.UnsharpMask(4, 200, 2))
    yield even.resize((max(width // 2, 1), max(height // 2, 1)), Image.Resampling.LANCZOS)
