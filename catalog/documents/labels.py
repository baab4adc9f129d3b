"""Labels: what goes on sleeves, mats and boards, and the line that may be pencilled on a print."""

import sqlite3
from collections.abc import Iterable, Sequence

from catalog.documents import wording
from catalog.documents.presentation import square_address
from catalog.errors import TirageError
from catalog.records import catalogs, certificates, editions, negatives, papers, prints
from catalog.rules.print_dates import both_years, print_dates, year
from labels.attachments import attach
from labels.errors import PaperError
from labels.label_sheet import Label, label_sheet
from labels.stock import stock

RESIN = ("resin", "rc", "polyethylene", "plastic")


class LabelsError(TirageError):
    """Labels that cannot be put on a sheet as asked."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"The labels could not be drawn: {reason}")


def print_labels(
    connection: sqlite3.Connection, ids: Iterable[int], address: str, units: str = "metric"
) -> list[Label]:
    """Labels for prints: only what may be public, most important first."""
    artist = catalogs.artist(connection)
    return [_print_label(connection, identity, artist.name, address, units) for identity in ids]


def sleeve_labels(
    connection: sqlite3.Connection, ids: Iterable[int], address: str, units: str = "metric"
) -> list[Label]:
    """Labels for the sleeves of plates and films, to be put on while the sleeve is empty."""
    artist = catalogs.artist(connection)
    labels = []
    for identity in ids:
        plate = negatives.read(connection, identity)
        sides = [plate.height, plate.width] if plate.height and plate.width else None
        lines = (
            year(plate.made),
            wording.joined([plate.process, plate.support], " on "),
            wording.size(sides, units),
            f"Mark: {plate.mark}" if plate.mark else "",
        )
        labels.append(
            Label(
                plate.code,
                square_address(address, "N", plate.code),
                artist.name,
                plate.title,
                tuple(line for line in lines if line),
                wording.SLEEVE_NOTE,
            )
        )
    return labels


def sheet_of(labels: Sequence[Label], stock_name: str, start: int, title: str) -> bytes:
    """Labels on sheets of a stock. Raises LabelsError."""
    try:
        return attach(label_sheet(labels, stock(stock_name), start), {}, title)
    except PaperError as problem:
        raise LabelsError(problem.sentence) from None


def pencil_line(connection: sqlite3.Connection, print_id: int) -> str:
    """What may stand in soft pencil on the back margin of a fibre print, "" for one that takes no pencil."""
    found = prints.read(connection, print_id)
    if found.paper:
        base = papers.read(connection, found.paper).base.casefold()
        if any(word in base.replace("-", " ").split() for word in RESIN):
            return ""
    artist, title = catalogs.artist(connection).name, _title(connection, found)
    years = both_years(negatives.read(connection, found.negative).made, found.made)
    designated = found.designation if found.kind else ""
    return wording.joined([found.code, artist, title, designated, years])


def _print_label(connection: sqlite3.Connection, identity: int, artist: str, address: str, units: str) -> Label:
    found = prints.read(connection, identity)
    edition = editions.read(connection, found.edition) if found.edition else None
    dates = print_dates(connection, found)
    valid = [paper.code for paper in certificates.of_print(connection, identity) if paper.standing == "valid"]
    lines = (
        wording.joined([found.designation, dates.word], " · "),
        both_years(dates.negative, dates.made),
        edition.process if edition else "",
        wording.size(prints.image_size(connection, found), units),
        f"Certificate {valid[-1]}" if valid else "",
    )
    return Label(
        found.code,
        square_address(address, "P", found.code),
        artist,
        _title(connection, found),
        tuple(line for line in lines if line),
        wording.LABEL_NOTE,
    )


def _title(connection: sqlite3.Connection, found: prints.Print) -> str:
    if found.edition:
        return editions.read(connection, found.edition).title
    return negatives.read(connection, found.negative).title
