"""The pages of the public site: each method is one page, from a few rows to finished HTML."""

import logging
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from catalog.publish import addresses, certificate_check, reading
from catalog.publish.answers import FRESH, LONG, PICTURE_TYPES, SHORT, Answer, redirect
from catalog.publish.reading import PublicCopy, Row
from catalog.publish.rendering import Rendering, link
from catalog.publish.search import MOST_RESULTS, query

Find = Callable[[str], Awaitable[list[Row] | None]]

log = logging.getLogger(__name__)

ON_HOME = 12  # pictures of a series on the first page
ON_WALL = 120  # pictures, editions or prints on one page of a list
ON_MAP = 1000  # cells of one map of numbers

PLURALS = (("series", "Series"), ("negative", "Negatives"), ("edition", "Editions"), ("print", "Prints"))
MOST_ENDED = 500  # certificates told whole on the page that checks a square; of more the digests are cut short
SHORT_DIGEST = 12


class Pages(Rendering):
    """All pages over one public copy; `find` looks up an FTS expression and gives None when it took too long."""

    def __init__(self, copy: PublicCopy, templates: Path, find: Find) -> None:
        super().__init__(copy, templates)
        self.find = find
        self.style_bytes = (templates / "style.css").read_bytes()
        self.script_bytes = (templates / "check.js").read_bytes()
        self.icon_bytes = (templates / "favicon.svg").read_bytes()

    async def answer(self, name: str, parts: dict[str, str], query_string: str) -> Answer:
        """The page of a name in addresses.ADDRESSES, with the parts of its path and the text after "?"."""
        asked = dict(parse_qsl(query_string, errors="replace", max_num_fields=20)) if query_string else {}
        # A small letter or a last slash is another way of writing an address; it is answered by a redirect.
        exact = parts.get("letter", "S").isupper() and not parts.get("slash")
        letter = parts.get("letter", "").upper()
        if name == "coded":
            return self.coded(letter, parts["code"], asked, exact)
        if name == "search":
            return await self.search(asked.get("q", ""))
        if name == "listing":
            return self.listing(letter, asked) if exact else redirect(f"/{letter}", query_string)
        if name == "series":
            return self.series(parts["slug"], asked, exact)
        if name == "picture":
            return self.picture(parts["file"])
        return {
            "home": self.home,
            "about": self.about,
            "style": self.style,
            "script": self.script,
            "icon": self.icon,
        }[name]()

    # -- pages without a code --

    def home(self) -> Answer:
        """The artist, what this is, and the series as walls of pictures."""
        walls = []
        for series in self.copy.rows(reading.SERIES):
            walls.append((series, self.copy.rows(reading.WALL_OF_SERIES, series["id"], ON_HOME, 0)))
        outside = self.copy.rows(reading.WALL_OUTSIDE, ON_HOME + 1, 0)
        # The last picture of the first wall stands beside the title: the first one follows right below anyway.
        pictured = [[row for row in wall if row["file"]] for wall in [*(wall for _, wall in walls), outside]]
        frontispiece = next((wall[-1] for wall in pictured if wall), None)
        return self.page(
            "home.html", walls=walls, outside=outside[:ON_HOME], more_outside=len(outside) > ON_HOME,
            frontispiece=frontispiece, path="/",
        )  # fmt: skip

    def about(self) -> Answer:
        """The terms used, and what each grade of evidence claims and does not claim."""
        return self.page("about.html", path="/about")

    def style(self) -> Answer:
        """The stylesheet."""
        headers = {"Cache-Control": SHORT, "ETag": f'"{self.mark}"'}
        return Answer(self.style_bytes, 200, "text/css; charset=utf-8", headers)

    def script(self) -> Answer:
        """What checks a square in the browser."""
        headers = {"Cache-Control": FRESH, "ETag": f'"{self.mark}"'}
        return Answer(self.script_bytes, 200, "text/javascript; charset=utf-8", headers)

    def icon(self) -> Answer:
        """The small sign in the browser's tab."""
        return Answer(self.icon_bytes, 200, "image/svg+xml", {"Cache-Control": LONG, "ETag": f'"{self.mark}"'})

    def picture(self, file: str) -> Answer:
        """A picture file, only if a row of the public copy names it."""
        if file not in self.copy.files:
            return self.missing()
        try:
            stored = self.copy.pictures / file
            body, stamp = stored.read_bytes(), stored.stat()
        except OSError:
            log.warning("picture %s is named by the public copy but cannot be read", file)
            return self.missing()
        headers = {"Cache-Control": LONG, "ETag": f'"{stamp.st_size:x}-{stamp.st_mtime_ns:x}"'}
        return Answer(body, 200, PICTURE_TYPES[stored.suffix.lower()], headers)

    def series(self, slug: str, asked: dict[str, str], exact: bool = True) -> Answer:
        """One series as a wall of pictures."""
        series = self.copy.row(reading.ONE_SERIES, slug.lower()) or self.copy.row(reading.ONE_SERIES, slug)
        if series is None:
            return self.missing()
        if not exact or slug != series["slug"]:
            return redirect(link("series", series["slug"]))
        after = count_after(asked)
        wall = self.copy.rows(reading.WALL_OF_SERIES, series["id"], ON_WALL + 1, after)
        path = link("series", series["slug"])
        return self.page("series.html", series=series, wall=wall[:ON_WALL], path=path, **paging(wall, after))

    def listing(self, letter: str, asked: dict[str, str]) -> Answer:
        """All negatives, editions or prints, in the order of their making; under C the certificate check."""
        after = count_after(asked)
        if letter == "C":
            return self.check(asked.get("certificate", ""), asked.get("fingerprint", ""))
        if letter == "P":
            prints = self.copy.rows(reading.PRINTS, after, ON_WALL + 1)
            following = prints[ON_WALL - 1]["place"] if len(prints) > ON_WALL else None
            return self.page("prints.html", prints=prints[:ON_WALL], first=after == 0, following=following, path="/P")
        if letter == "E":
            editions = self.copy.rows(reading.EDITIONS, ON_WALL + 1, after)
            return self.page("editions.html", editions=editions[:ON_WALL], path="/E", **paging(editions, after))
        wall = self.copy.rows(reading.WALL_OF_ALL, ON_WALL + 1, after)
        return self.page("negatives.html", wall=wall[:ON_WALL], path="/N", **paging(wall, after))

    async def search(self, typed: str) -> Answer:
        """What was found for the words typed, at most MOST_RESULTS, pictures beside."""
        typed = typed.replace("\0", "").strip()
        expression = query(typed, self.copy.words)
        found = await self.find(expression) if expression else []
        results = list(found or [])
        for letter, kind in (("N", "negative"), ("E", "edition"), ("P", "print")):
            for code in addresses.readings(letter, typed.replace(" ", "")):
                exact = self.copy.code(letter, code)
                # A code typed short ("p1") is no word of the index, yet the one thing its typist wants.
                if exact and not any(row["code"] == exact and row["kind"] == kind for row in results):
                    results.insert(0, {"code": exact, "kind": kind, "title": "", "line": ""})
        groups = []
        for kind, title in PLURALS:
            rows = [row for row in results[:MOST_RESULTS] if row["kind"] == kind]
            beside = self.copy.beside(kind, [row["code"] for row in rows])
            for row in rows:
                seen = beside.get(row["code"], {})
                row.update(
                    small=seen.get("small"), alt=seen.get("alt") or "", title=row["title"] or seen.get("title", "")
                )
            groups += [(title, rows)] if rows else []
        return self.page(
            "search.html", typed=typed, groups=groups, amount=len(results), most=MOST_RESULTS, too_broad=found is None,
            path="/search",
        )  # fmt: skip

    # -- pages with a code --

    def coded(self, letter: str, typed: str, asked: dict[str, str], exact: bool = True) -> Answer:
        """The page of one code, or a redirect from any other way of writing it to the canonical one."""
        if exact and typed == typed.upper():
            page = self.page_of(letter, typed, asked)
            if page is not None:
                return page
        for meant in addresses.readings(letter, typed):
            code = self.copy.code(letter, meant)
            if code is not None:
                return redirect(addresses.path_of(letter, code))
        return self.missing()

    def page_of(self, letter: str, code: str, asked: dict[str, str]) -> Answer | None:
        """The page of a code written canonically; None when nothing shown bears it."""
        if letter == "P":
            return self.print_page(code)
        if letter == "E":
            return self.edition(code, count_after(asked))
        return self.negative(code) if letter == "N" else self.certificate(code)

    def negative(self, code: str) -> Answer | None:
        """One negative: its picture, its facts and its editions."""
        negative = self.copy.row(reading.NEGATIVE, code)
        if negative is None:
            return None
        editions = self.copy.rows(reading.EDITIONS_OF, negative["code"])
        path = addresses.path_of("N", negative["code"])
        return self.page("negative.html", negative=negative, editions=editions, path=path)

    def edition(self, code: str, after: int = 0) -> Answer | None:
        """One edition: its facts and its map of numbers."""
        edition = self.copy.row(reading.EDITION, code)
        if edition is None:
            return None
        numbers = self.copy.rows(reading.NUMBERS, edition["code"], ON_MAP + 1, after)
        standings = {row["standing"]: row["amount"] for row in self.copy.rows(reading.STANDINGS, edition["code"])}
        kinds: dict[str, list[Row]] = {}
        for number in numbers[:ON_MAP]:
            kinds.setdefault(number["kind"], []).append(number)
        return self.page(
            "edition.html", edition=edition, kinds=kinds, standings=standings,
            errata=self.copy.rows(reading.ERRATA, edition["code"]),
            others=self.copy.rows(reading.OTHERS_OF, edition["negative"], edition["code"]),
            path=addresses.path_of("E", edition["code"]), **paging(numbers, after, ON_MAP),
        )  # fmt: skip

    def print_page(self, code: str) -> Answer | None:
        """One print, where the code on its label leads: what it is, what it stands on, how it was made."""
        row = self.copy.row(reading.PRINT, code)
        if row is None:
            return None
        return self.page(
            "print.html", print=row, steps=self.copy.rows(reading.STEPS, row["code"]),
            certificates=self.copy.rows(reading.CERTIFICATES_OF, row["code"]),
            path=addresses.path_of("P", row["code"]),
        )  # fmt: skip

    def certificate(self, code: str) -> Answer | None:
        """One certificate: its standing, its fingerprint and the facts the fingerprint is taken from."""
        certificate = self.copy.row(reading.CERTIFICATE, code)
        if certificate is None:
            return None
        return self.checking(
            "certificate.html", certificate=certificate, standing=certificate_check.standing_of(certificate),
            path=addresses.path_of("C", certificate["code"]),
        )  # fmt: skip

    def ended(self) -> list[Row]:
        """The certificates that count no more, for the browser to look among them without asking anybody."""
        rows = self.copy.rows(reading.ENDED)
        return rows if len(rows) <= MOST_ENDED else [_cut(row) for row in rows]

    def check(self, number: str, fingerprint: str) -> Answer:
        """The certificate check: the form, and the answer in plain words once it was sent."""
        number, fingerprint = number.replace("\0", "").strip()[:40], fingerprint.replace("\0", "").strip()[:200]
        certificate, verdicts = None, []
        if number:
            codes = (self.copy.code("C", code) for code in addresses.readings("C", number.replace(" ", "")))
            code = next(filter(None, codes), None)
            certificate = self.copy.row(reading.CERTIFICATE, code) if code else None
            if certificate is None:
                verdicts = [certificate_check.missing(number)]
            else:
                verdicts = [certificate_check.compare(certificate, fingerprint)]
                verdicts += [certificate_check.standing_of(certificate)]
        return self.checking(
            "check.html", number=number, fingerprint=fingerprint, certificate=certificate, verdicts=verdicts,
            keys=self.copy.rows(reading.KEYS), ended=self.ended(), path="/C",
        )  # fmt: skip


def _cut(row: Row) -> Row:
    return {"code": "", "digest": row["digest"][:SHORT_DIGEST], "standing": row["standing"], "superseded_by": ""}


def count_after(asked: dict[str, str]) -> int:
    """How many rows a list leaves out before its first; 0 unless a plain count was asked for."""
    text = asked.get("after", "")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else 0


def paging(rows: list[Row], after: int, most: int = ON_WALL) -> dict[str, Any]:
    """What a list tells its template: whether this is its first page, and what the following one starts after."""
    return {"first": after == 0, "following": after + most if len(rows) > most else None}
