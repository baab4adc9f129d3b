"""Captions: a ready credit line of a print, for a wall, a catalogue or a web page. It asserts no right in the image."""

import sqlite3
from dataclasses import dataclass

from catalog.documents import wording
from catalog.records import catalogs, editions, negatives, papers, prints
from catalog.records.steps import history
from catalog.rules.print_dates import print_dates
from catalog.rules.toning import toned_of


@dataclass(frozen=True)
class Caption:
    """The parts of a credit line, each "" where it is not known."""

    code: str
    artist: str
    title: str
    dates: str
    process: str
    toning: str
    image: str
    designation: str
    state: str = ""  # "destroyed" or "lost", "" where it is there

    def text(self) -> str:
        """“A. Example, Low water, negative 1998, printed 2026 (later print), gelatin silver print, 3/25”."""
        return wording.joined(
            [self.artist, self.title, self.dates, self.process, self.toning, self.image, self.designation, self.state]
        )


def caption(connection: sqlite3.Connection, print_id: int, units: str = "metric") -> Caption:
    """The credit line of one print, from what the records hold."""
    one = prints.read(connection, print_id)
    edition = editions.read(connection, one.edition) if one.edition else None
    process = edition.process if edition else _process_of_image(connection, one.negative)
    paper = papers.read(connection, one.paper).description if one.paper and not process else ""
    return Caption(
        one.code,
        catalogs.artist(connection).name,
        edition.title if edition else negatives.read(connection, one.negative).title,
        print_dates(connection, one).text(),
        process or (f"print on {paper}" if paper else ""),
        toned_of(history(connection, print_id)),
        wording.size(prints.image_size(connection, one), units),
        one.designation if one.kind else "",
        "" if one.state == "living" else one.state,
    )


def _process_of_image(connection: sqlite3.Connection, negative: int) -> str:
    """The process in which every edition of an image is printed, "" where there is none or more than one.

    A work print is a trial of such a print: its own record holds no process.
    """
    processes = {edition.process for edition in editions.listed(connection, negative)}
    return processes.pop() if len(processes) == 1 else ""
