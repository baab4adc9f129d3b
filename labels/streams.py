"""What a PDF's streams hold, unpacked with a limit: a small file can be made to unpack to more than any memory."""

import zlib
from typing import Any

from labels.errors import PdfUnreadable

# Filters that are part of a picture: what they hold is taken as it is.
PICTURE_FILTERS = ("/DCTDecode", "/JPXDecode", "/JBIG2Decode", "/CCITTFaxDecode")
LARGEST_STREAM = 16 * 1024 * 1024  # bytes; the largest of a certificate is its picture, far below one million
LARGEST_FILE = 48 * 1024 * 1024


class Unpacking:
    """The streams of one file, and how much of them was unpacked so far."""

    def __init__(self) -> None:
        self.done = 0

    def content(self, stream: Any) -> tuple[bytes, list[str]]:
        """A stream's content, and the filters of a picture that are left on it. Raises `PdfUnreadable`."""
        import pikepdf

        found = stream.get("/Filter")
        names = [] if found is None else [found] if isinstance(found, pikepdf.Name) else list(found)
        chain = [str(name) for name in names]
        raw = stream.read_raw_bytes()
        if chain and chain[0] == "/FlateDecode":
            parameters = stream.get("/DecodeParms")
            listed = list(parameters) if isinstance(parameters, pikepdf.Array) else [parameters]
            if listed and listed[0] is not None and int(listed[0].get("/Predictor", 1)) != 1:
                raise PdfUnreadable("a stream of it is packed in a way that is not used here")
            raw, chain = self._unpacked(raw), chain[1:]
        if chain and (len(chain) > 1 or chain[0] not in PICTURE_FILTERS):
            raise PdfUnreadable("a stream of it is packed in a way that is not used here")
        self.done += len(raw)
        if len(raw) > LARGEST_STREAM or self.done > LARGEST_FILE:
            raise PdfUnreadable("it unpacks to more than any document of this kind")
        return raw, chain

    def _unpacked(self, raw: bytes) -> bytes:
        if not raw:
            return b""
        room = min(LARGEST_STREAM, LARGEST_FILE - self.done)
        unpacking = zlib.decompressobj()
        try:
            content = unpacking.decompress(raw, room + 1)
        except zlib.error:
            raise PdfUnreadable("a stream of it is damaged") from None
        if len(content) > room:
            raise PdfUnreadable("it unpacks to more than any document of this kind")
        if not unpacking.eof or unpacking.unused_data.strip(b"\r\n"):
            raise PdfUnreadable("a stream of it is damaged")
        return content
