"""Findings: what a check noticed, and what the checks look at."""

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal

from catalog.dates import parse_date
from catalog.errors import NotUnderstood


@dataclass(frozen=True)
class Finding:
    """One thing a check found."""

    severity: Literal["error", "warning", "note"]
    code: str
    sentence: str


@dataclass(frozen=True)
class Subject:
    """What the checks look at: the open catalog, its folder, the day it is, and copies named to compare with."""

    connection: sqlite3.Connection
    folder: Path
    today: datetime
    against: tuple[Path, ...] = ()


def day(edtf: str) -> str:
    """A date for a person to read; what was altered into no date stands as it is."""
    try:
        return parse_date(edtf).text()
    except NotUnderstood:
        return edtf
