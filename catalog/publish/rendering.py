"""Templates of the public site made into pages: what every template knows, and the headers of each kind of page."""

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from catalog.publish import addresses
from catalog.publish.answers import FRESH, HTML, SHORT, Answer
from catalog.publish.policy import POLICY_WITH_SCRIPT
from catalog.publish.reading import PublicCopy, Row

# What each standing is told by besides its colour: a sign of its own. The stylesheet adds an outline of its own.
SIGNS = {
    "not yet printed": "·",
    "reserved": "◐",
    "available": "○",
    "placed": "●",
    "kept": "■",
    "destroyed": "✕",
    "lost": "?",
    "void": "–",
}
# From the weakest evidence to the strongest; "failed" stands outside the row.
GRADES = ("unrecorded", "recorded", "by proven routine", "spot-tested", "measured")
LETTERS = {"negative": "N", "edition": "E", "print": "P", "certificate": "C", "series": "S"}


def class_name(words: str) -> str:
    """A standing or grade as a name for the stylesheet: "not yet printed" -> "not-yet-printed"."""
    return "".join(letter if letter.isalnum() else "-" for letter in words.lower())


def shape(picture: Row) -> int:
    """Width to height in hundredths, in steps of 5 from 40 to 260: the classes a40 to a260 of the stylesheet."""
    return min(260, max(40, round(picture["width"] * 20 / picture["height"]) * 5))


def link(kind: str, code: str) -> str:
    """The address of a record of a kind: negative, edition, print, certificate or series (whose code is its slug)."""
    return f"/S/{code}" if kind == "series" else addresses.path_of(LETTERS[kind], code)


class Rendering:
    """The templates of a site over one public copy."""

    def __init__(self, copy: PublicCopy, templates: Path) -> None:
        self.copy = copy
        self.environment = Environment(
            loader=FileSystemLoader(templates),
            autoescape=True,
            auto_reload=False,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
        )
        self.environment.globals.update(
            site=copy.site, artist=copy.site.get("artist", ""), signs=SIGNS, grades=GRADES, link=link,
            class_name=class_name, shape=shape, path_of=addresses.path_of,
        )  # fmt: skip
        # Everything a page is made from, in one mark: the same copy and templates give the same page.
        stamp = copy.database.stat()
        marks = [f"{stamp.st_size} {stamp.st_mtime_ns}".encode()]
        marks += [file.read_bytes() for file in sorted(templates.iterdir()) if file.is_file()]
        self.mark = hashlib.sha256(b"\0".join(marks)).hexdigest()[:20]
        self.missing_bytes = self.render("missing.html")
        self.failed_bytes = self.render("failed.html")

    def render(self, template: str, **values: Any) -> bytes:
        """One template with its values, as bytes."""
        return self.environment.get_template(template).render(values).encode()

    def page(self, template: str, cache: str = SHORT, **values: Any) -> Answer:
        """One page that was found; unlike a bare render it may be kept by the browser and asked for again by mark."""
        return Answer(self.render(template, **values), 200, HTML, {"Cache-Control": cache, "ETag": f'"{self.mark}"'})

    def checking(self, template: str, **values: Any) -> Answer:
        """A page that checks a square in the browser: never kept, and the one kind that may run the script."""
        page = self.page(template, FRESH, **values)
        return replace(page, headers={**page.headers, "Content-Security-Policy": POLICY_WITH_SCRIPT})

    def missing(self) -> Answer:
        """Our own page for an address that leads nowhere."""
        return Answer(self.missing_bytes, 404, HTML, {"Cache-Control": FRESH})

    def failed(self) -> Answer:
        """Our own page for a fault of the site."""
        return Answer(self.failed_bytes, 500, HTML, {"Cache-Control": "no-store"})
