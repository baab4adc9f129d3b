"""Pairs of work timed in turn, A B A B, so that a machine whose speed drifts does not decide the ratio."""

import os
import platform
import re
import sqlite3
import statistics
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Row:
    """One line of the table: what, against what, the median ratio, and the target it must hold.

    `failed` says why there is no ratio.
    """

    work: str
    against: str
    ratio: float
    target: float
    at_least: bool = False
    failed: str = ""

    @property
    def holds(self) -> bool:
        """Whether the ratio keeps its target."""
        if self.failed:
            return False
        return self.ratio >= self.target if self.at_least else self.ratio <= self.target

    @property
    def cells(self) -> tuple[str, str, str, str, str]:
        """The line as texts: work, against, ratio, target, verdict."""
        found = "-" if self.failed else f"{self.ratio:.2f}"
        verdict = f"FAILED: {self.failed}" if self.failed else "holds" if self.holds else "MISSED"
        return self.work, self.against, found, f"{'≥' if self.at_least else '≤'} {self.target:g}", verdict


def ratio(ours: Callable[[], object], theirs: Callable[[], object], rounds: int) -> float:
    """The median of ours / theirs over interleaved rounds, after one round that is not counted."""
    ours()
    theirs()
    found = []
    for _ in range(rounds):
        began = time.perf_counter()
        ours()
        middle = time.perf_counter()
        theirs()
        found.append((middle - began) / (time.perf_counter() - middle))
    return statistics.median(found)


HEADINGS = ("work", "against", "ratio", "target", "verdict")


def table(rows: list[Row]) -> str:
    """The rows as a table with a verdict each."""
    lines = [HEADINGS, *(row.cells for row in rows)]
    wide = [max(len(line[column]) for line in lines) for column in range(4)]
    return "\n".join(
        f"{work:<{wide[0]}}  {against:<{wide[1]}}  {found:>{wide[2]}}  {target:>{wide[3]}}  {verdict}"
        for work, against, found, target, verdict in lines
    )


def markdown(rows: list[Row]) -> str:
    """The same for a README."""
    lines = [HEADINGS, ("---", "---", "---:", "---:", "---"), *(row.cells for row in rows)]
    return "\n".join(f"| {' | '.join(line)} |" for line in lines)


def kind_of(work: str) -> str:
    """A row's name whatever its size: “publishing 200,000 prints” -> “publishing # prints”."""
    return re.sub(r"\d+(?:,\d{3})*", "#", work)


def machine() -> str:
    """What the table came from, in a line; not whose it is."""
    model = platform.machine()
    try:
        told = Path("/proc/cpuinfo").read_text(encoding="utf-8")
        model = re.findall(r"^model name\s*:\s*(.+)$", told, re.MULTILINE)[0]
    except (OSError, IndexError):
        pass
    return (
        f"{os.cpu_count()} cores ({model}), {platform.system()}, Python {platform.python_version()}, "
        f"SQLite {sqlite3.sqlite_version}"
    )
