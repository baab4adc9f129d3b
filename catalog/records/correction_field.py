"""One field that can be corrected: how text is read into its columns, and how they are written out."""

import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from catalog.dates import parse_date
from catalog.errors import NotUnderstood
from catalog.measures import format_size, parse_size
from catalog.records.items import Coded

Values = tuple[Any, ...]
Lock = Callable[[sqlite3.Connection, Coded, Values], str]  # why a thing cannot have these values, "" where it can


@dataclass(frozen=True)
class Field:
    """One correctable field: its columns, how text is read into them, and how they are written out."""

    columns: tuple[str, ...]
    parse: Callable[[sqlite3.Connection, str], Values]
    show: Callable[[sqlite3.Connection, Values], str]
    lock: Lock = lambda connection, thing, values: ""


def text_field(column: str, *, needed: bool = False, lock: Lock | None = None) -> Field:
    """Words in one column."""

    def parse(connection: sqlite3.Connection, text: str) -> Values:
        if needed and not text:
            raise NotUnderstood(f"a {column}", text, "some words; it cannot be empty")
        return (text,)

    made = Field((column,), parse, lambda connection, values: str(values[0]))
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def date_field(columns: tuple[str, ...], *, needed: bool = True, lock: Lock | None = None) -> Field:
    """A date with its bounds; a fourth column is the clock, which a corrected date does not keep."""

    def parse(connection: sqlite3.Connection, text: str) -> Values:
        if not text and not needed:
            return ("",) * len(columns)
        date = parse_date(text)
        return (date.edtf, date.earliest, date.latest, "")[: len(columns)]

    made = Field(columns, parse, lambda connection, values: str(values[0]))
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def size_field(name: str, lock: Lock | None = None) -> Field:
    """A height and a width of a name."""
    columns = (f"{name}_height".lstrip("_"), f"{name}_width".lstrip("_"))
    made = Field(
        columns,
        lambda connection, text: parse_size(text) if text else (None, None),
        lambda connection, values: format_size(*values) if values[0] and values[1] else "",
    )
    return Field(made.columns, made.parse, made.show, lock) if lock else made


def quantity_field(
    column: str, parse: Callable[[str], int], show: Callable[[int], str], *, lock: Lock | None = None
) -> Field:
    """A whole number in one column, with its units as typed; empty where nothing is known."""
    made = Field(
        (column,),
        lambda connection, text: (parse(text) if text else None,),
        lambda connection, values: "" if values[0] is None else show(values[0]),
    )
    return Field(made.columns, made.parse, made.show, lock) if lock else made
