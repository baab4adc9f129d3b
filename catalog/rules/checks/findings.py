"""Findings: what a check noticed, and what the checks look at."""

import sqlite3
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Literal


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
