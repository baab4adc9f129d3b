"""Pictures on a sheet: any JPEG or PNG made grey, upright and no larger than print needs."""

from dataclasses import dataclass, field
from io import BytesIO
from typing import Any

from labels.errors import PictureUnreadable

PRINT_RESOLUTION = 300  # pixels an inch; more is not seen on paper and makes the file heavy


@dataclass(frozen=True, slots=True)
class Plate:
    """A grey picture ready for print: its pixels across and down, and the bytes of a JPEG."""

    width: int
    height: int
    data: bytes = field(repr=False)

    def within(self, width: float, height: float) -> tuple[float, float]:
        """The largest width and height of the same shape inside `width` x `height` (any unit)."""
        factor = min(width / self.width, height / self.height)
        return self.width * factor, self.height * factor

    def reader(self) -> Any:
        """The picture as reportlab takes it; a JPEG goes into the page as it is."""
        from reportlab.lib.utils import ImageReader

        return ImageReader(BytesIO(self.data))


def plate(picture: bytes, width: float, height: float) -> Plate:
    """`picture` (JPEG or PNG bytes) prepared for a place of `width` x `height` points.

    Turned upright, laid on white where it is transparent, made grey, reduced to 300 pixels an inch.
    Raises `PictureUnreadable`.
    """
    from PIL import Image, ImageOps

    try:
        with Image.open(BytesIO(picture), formats=("JPEG", "PNG")) as opened:
            opened.load()
            upright = ImageOps.exif_transpose(opened)
            grey = _grey(upright)
    except (OSError, ValueError, SyntaxError, Image.DecompressionBombError) as error:
        raise PictureUnreadable(str(error) or type(error).__name__) from None
    factor = min(width / 72 * PRINT_RESOLUTION / grey.width, height / 72 * PRINT_RESOLUTION / grey.height)
    if factor < 1:
        size = (max(1, round(grey.width * factor)), max(1, round(grey.height * factor)))
        grey = grey.resize(size, Image.Resampling.LANCZOS)
    out = BytesIO()
    grey.save(out, "JPEG", quality=90)
    return Plate(grey.width, grey.height, out.getvalue())


def _grey(picture: Any) -> Any:
    from PIL import Image

    if picture.mode.startswith("I"):
        # Sixteen bits a pixel: a plain conversion would clip nearly all of it to white.
        return picture.convert("I").point(lambda value: value / 256).convert("L")
    if "A" in picture.getbands() or "transparency" in picture.info:
        layered = picture.convert("RGBA")
        ground = Image.new("RGBA", layered.size, "white")
        ground.alpha_composite(layered)
        picture = ground
    return picture.convert("L")
