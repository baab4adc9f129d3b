"""An edition for a person to read: what was declared, said of it, given out, and how every number stands."""

import sqlite3
from itertools import groupby

from catalog.cli.tables import facts
from catalog.dates import parse_date
from catalog.measures import format_size
from catalog.records import (
    edition_endings,
    edition_errata,
    edition_prices,
    editions,
    imports,
    items,
    negatives,
    prints,
)
from catalog.rules import offers
from catalog.rules.disclosure import attributed
from catalog.rules.edition_counts import edition_count, image_count
from catalog.rules.edition_map import Cell, edition_map
from catalog.rules.edition_words import state_word


def pairs(connection: sqlite3.Connection, one: editions.Edition) -> list[tuple[str, object]]:
    """The facts of an edition by name."""
    waiting = [p.code for p in prints.listed(connection, edition=one.id, kind="undesignated", state="living")]
    return [
        ("code", one.code),
        ("title", one.title),
        ("negative", items.code_of(connection, one.negative)),
        ("edition", editions.statement(connection, one)),
        ("state", one.state),
        ("declared", parse_date(one.declared).text()),
        ("ended", "; ".join(_ended(ending) for ending in edition_endings.endings(connection, one.id))),
        ("image", format_size(one.image_height, one.image_width) if one.image_height and one.image_width else ""),
        ("sheet", format_size(one.sheet_height, one.sheet_width) if one.sheet_height and one.sheet_width else ""),
        ("process", one.process),
        ("paper", one.paper),
        ("toning", one.toning),
        ("of the estate", "yes" if one.estate else ""),
        ("proof numerals", one.numerals if editions.proofs(connection, one.id) and one.numerals != "arabic" else ""),
        ("this edition", edition_count(connection, one).text()),
        ("of the image", image_count(connection, one.negative).text()),
        ("price", price_words(connection, one.id)),
        ("to be signed", items.shorten(waiting)),
        ("note", one.note),
        ("from its list", imports.told(connection, "editions", one.id)),
        ("public", _public(connection, one)),
    ]


def _public(connection: sqlite3.Connection, one: editions.Edition) -> str:
    """Whether it may be published: marked itself, or with its negative."""
    if one.shown:
        return "shown"
    return "shown with its negative" if negatives.read(connection, one.negative).shown else "not shown"


def said(connection: sqlite3.Connection, one: editions.Edition) -> list[str]:
    """What is printed with an edition: disclosures and errata, its own and those of the others of its image."""
    lines = []
    for other in sorted(editions.listed(connection, one.negative), key=lambda other: other.id != one.id):
        if other.disclosure:
            lines.append(other.disclosure if other.id == one.id else attributed(other.code, other.disclosure))
        name = "Erratum" if other.id == one.id else f"Erratum to {other.code}"
        lines += [f"{name}: {erratum.text}" for erratum in edition_errata.errata(connection, other.id)]
    return lines


def text(connection: sqlite3.Connection, one: editions.Edition) -> str:
    """Everything of an edition."""
    told = [(name, state_word(str(value)) if name == "state" else value) for name, value in pairs(connection, one)]
    parts = [facts(told)]
    printed = said(connection, one)
    if printed:
        parts.append("Printed with it\n" + "\n".join(f"  {line}" for line in printed))
    others = [other for other in editions.listed(connection, one.negative) if other.id != one.id]
    if others:
        parts.append("Other editions of this image\n" + "\n".join(f"  {_other(connection, it)}" for it in others))
    cells = edition_map(connection, one)
    if cells:
        parts.append("Map\n" + "\n".join(map_lines(cells)))
    if one.size:
        free = sum(cell.standing == "free" for cell in cells if cell.kind == "numbered")
        left = f"{free} of {one.closed_at or one.size} numbers free"
        if offers.never_given(connection, one):
            left += ", and given to nobody after the artist's death"
        parts.append(f"  {left}; a number is no order of printing")
    return "\n".join(parts)


def record(connection: sqlite3.Connection, one: editions.Edition) -> dict[str, object]:
    """Everything of an edition for another program."""
    count, image, now = (
        edition_count(connection, one),
        image_count(connection, one.negative),
        offers.price_now(connection, one.id),
    )
    return {
        **dict(pairs(connection, one)),
        "disclosure": one.disclosure,
        "errata": [erratum.text for erratum in edition_errata.errata(connection, one.id)],
        "endings": [
            {"state": ending.state, "fate": ending.fate, "on": ending.happened, "why": ending.note}
            for ending in edition_endings.endings(connection, one.id)
        ],
        "numbers given": count.given,
        "numbers signed": count.signed,
        "proofs": {kind: {"given": given, "declared": declared} for kind, (given, declared) in count.proofs.items()},
        "image signed and numbered": {
            "numbered": image.numbered,
            "proofs": image.proofs,
            "destroyed": image.destroyed,
            "editions": image.editions,
        },
        "sold": offers.sold(connection, one.id),
        "price now": now.text() if now else "",
        "map": rows(edition_map(connection, one)),
    }


def rows(cells: list[Cell]) -> list[dict[str, object]]:
    """The map, a row a number."""
    return [{"number": cell.label, "standing": _standing(cell), "print": cell.code} for cell in cells]


def price_words(connection: sqlite3.Connection, edition_id: int) -> str:
    """“EUR 800.00 (5 sold), EUR 1,100.00 from sale 8”, "" where no price is set."""
    now = offers.price_now(connection, edition_id)
    if now is None:
        later = edition_prices.prices(connection, edition_id)
        return later[-1].text() if later else ""
    coming = offers.price_next(connection, edition_id)
    after = f", then {coming[1].text()} from sale {coming[0]}" if coming else ""
    return f"{now.text()} ({offers.sold(connection, edition_id)} sold){after}"


def map_lines(cells: list[Cell]) -> list[str]:
    """A line a number; neighbours that nothing holds share one."""
    lines = []
    for (_, standing, code), run in groupby(cells, key=lambda cell: (cell.kind, _standing(cell), cell.code)):
        labels = [cell.label for cell in run]
        lines.append((labels[0] if len(labels) == 1 else f"{labels[0]} to {labels[-1]}", standing, code))
    width = max((len(label) for label, _, _ in lines), default=0)
    wide = max((len(standing) for _, standing, code in lines if code), default=0)
    return [f"  {label:<{width}}  {standing:<{wide}}  {code}".rstrip() for label, standing, code in lines]


def _standing(cell: Cell) -> str:
    """How a number stands, and that its print is spoken for."""
    return f"{cell.standing}, reserved" if cell.reserved and cell.standing != "sold" else cell.standing


def _ended(ending: edition_endings.Ending) -> str:
    fate = f", the negative {ending.fate}" if ending.fate else ""
    why = f": {ending.note}" if ending.note else ""
    return f"{ending.state} {parse_date(ending.happened).text()}{fate}{why}"


def _other(connection: sqlite3.Connection, other: editions.Edition) -> str:
    size = format_size(other.image_height, other.image_width) if other.image_height and other.image_width else ""
    said_of = ", ".join(part for part in (other.process, size, editions.statement(connection, other)) if part)
    estate = ", of the estate" if other.estate else ""
    return f"{other.code}  {said_of} ({state_word(other.state)}{estate})"
