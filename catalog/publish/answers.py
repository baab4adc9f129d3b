"""What goes back to the browser, and how long it may be kept there."""

from dataclasses import dataclass, field

HTML = "text/html; charset=utf-8"
PICTURE_TYPES = {".jpg": "image/jpeg", ".jpeg": "image/jpeg", ".png": "image/png", ".webp": "image/webp"}
FRESH = "no-cache"  # a certificate may be revoked at any time: ask again every time
SHORT = "public, max-age=300"
LONG = "public, max-age=86400"


@dataclass(frozen=True)
class Answer:
    """What goes back to the browser."""

    body: bytes
    status: int = 200
    content_type: str = HTML
    headers: dict[str, str] = field(default_factory=dict)


def redirect(path: str, query_string: str = "") -> Answer:
    """A lasting redirect to the canonical address."""
    location = f"{path}?{query_string}" if query_string else path
    return Answer(b"", 301, HTML, {"Location": location, "Cache-Control": SHORT})
